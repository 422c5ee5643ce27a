"""Where the boards lie: direction, courses, rips and runs."""
