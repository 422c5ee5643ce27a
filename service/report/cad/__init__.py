"""The drawing for CAD (DXF): every mark in true size, on layers of its own name."""
