"""What moisture does to boards: what the air brings them to, what they move, whether they go up."""
