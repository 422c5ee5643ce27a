"""Outlines, openings and surfaces in true size; frames along the boards; exact strips.

Rings are tuples of integer points (ticks). Shapely does the topology and lives here alone; it is
always handed integers, and where a slanted edge is cut the point is snapped to a tick first, the
same way for both sides of the cut, so that areas add up exactly.
"""
