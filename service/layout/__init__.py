"""Where things lie: members, courses and their alternatives, runs and what notches them."""
