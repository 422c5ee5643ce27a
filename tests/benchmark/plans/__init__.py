"""Invented jobs of the usual sorts, whose plans are measured in feet and joints."""
