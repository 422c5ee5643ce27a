"""Fasteners of boards, counted over the placed pieces."""
