"""Volumes of liquids in cubic ticks, exact: the US gallon is 231 cubic inches, the litre 1 dm3."""

from __future__ import annotations

from typing import Final

from service.units.ticks import INCH, MM

GALLON: Final = 231 * INCH**3
LITRE: Final = (100 * MM) ** 3

CUBIC_TICKS: Final = {
    "gal": GALLON,
    "qt": GALLON // 4,
    "fl oz": GALLON // 128,
    "l": LITRE,
    "ml": LITRE // 1000,
}
"""Cubic ticks in one of each unit in which a can or a tube is sold (NIST Handbook 44, app. C)."""
