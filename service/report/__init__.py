"""An answer rendered: drawings (SVG), the order (CSV), and the takeoff as a page of text."""
