"""Exact lengths: integer ticks, their factors, rounding with a stated direction, writing."""
