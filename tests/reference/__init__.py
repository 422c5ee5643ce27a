"""Figures published or worked by hand, one file for each source."""
