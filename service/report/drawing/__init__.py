"""The drawing of a takeoff as one SVG document: plain records to ink, and no more."""
