"""Needs to stock: patterns, bounds and plans. Knows lengths, sticks and costs; no surfaces."""
