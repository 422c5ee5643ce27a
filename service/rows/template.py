"""The sheet to begin with: every column, and two rooms that can be taken off as they stand."""

from __future__ import annotations

import csv
import io
from typing import Final

from service.schemas.rooms import COLUMNS

_ROOMS: Final = (
    {
        "room": "porch", "unit": "ft", "type": "ceiling", "length": "26", "width": "10",
        "boards_run": "along length", "support_spacing": "16 in", "first_support": "8 in",
        "opening_along": "6", "opening_across": "3", "opening_length": "30 in",
        "opening_width": "22-1/2 in", "board": "1x6 pine", "profile": "tongue_and_groove",
        "ends": "square", "overall": "5-3/8 in", "coverage": "5-1/8 in", "thickness": "3/4 in",
        "stock": "8 ft; 12 ft; 16 ft", "prices": "6.40; 9.60; 12.80", "currency": "USD",
        "cull": "5", "start": "balanced",
    },
    {
        "room": "den", "unit": "mm", "type": "wall", "length": "3810", "width": "2440",
        "boards_run": "along length", "support_spacing": "600", "board": "spruce",
        "profile": "shiplap", "overall": "140", "coverage": "127", "thickness": "18",
        "stock": "2.4 m; 3.6 m; 4.2 m",
    },
)  # fmt: skip


def _written() -> bytes:
    page = io.StringIO(newline="")
    sheet = csv.DictWriter(page, COLUMNS, restval="", lineterminator="\r\n")
    sheet.writeheader()
    sheet.writerows(_ROOMS)
    return page.getvalue().encode()


TEMPLATE: Final = _written()
"""The template as CSV."""
