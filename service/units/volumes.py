"""Volumes of liquids in cubic ticks, exact: the US gallon is 231 cubic inches, the litre 1 dm3."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from service.units.ticks import INCH, MM

QUARTER_PI: Final = Fraction(355, 113) / 4
"""A circle's share of the square round it, right to seven digits."""

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
