"""The takeoff on paper as plain text, from the answer that everyone gets."""
