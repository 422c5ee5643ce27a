"""Where joints may lie, and what gives way where none can."""
