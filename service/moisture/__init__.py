"""Wood and its moisture: what the air brings it to, how far boards move, whether they may go up.

Moisture content is in percent of the oven-dry weight, an exact Fraction; lengths are ticks, and
temperatures degrees Celsius. Nothing here knows of requests or of kinds of layer.
"""
