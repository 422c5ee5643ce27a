"""What should be said of laid boards."""
