"""Lengths of requests and answers as whole ticks (1/40 000 mm)."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction

TICKS = {"in": 1_016_000, "ft": 12_192_000, "mm": 40_000, "cm": 400_000, "m": 40_000_000}
METRIC = ("mm", "cm", "m")
INCH = TICKS["in"]
FOOT = TICKS["ft"]
SQUARE_FOOT = FOOT * FOOT
SQUARE_METRE = TICKS["m"] ** 2

Number = int | float | str | Decimal | Fraction


def exact(value: Number) -> Fraction:
    """The rational number that is written; a float is read as its shortest text."""
    return Fraction(repr(value)) if isinstance(value, float) else Fraction(value)


def written(value: Number, unit: str) -> Fraction:
    """Ticks, not yet rounded, of a number in `unit` or of `8 ft`, `11-5/16 in`, `16' 6"`."""
    if isinstance(value, str) and "'" in value:
        feet, inches = value.split("'")
        return Fraction(feet) * FOOT + written(inches.strip(' "') + " in", unit)
    if isinstance(value, str) and " " in value:
        amount, unit = value.rsplit(" ", 1)
        return sum((Fraction(part) for part in re.split("[ -]", amount)), Fraction(0)) * TICKS[unit]
    return exact(value) * TICKS[unit]


def ticks(value: Number, unit: str) -> int:
    """The whole tick nearest to a length, half up."""
    return math.floor(written(value, unit) + Fraction(1, 2))


def slack(unit: str) -> int:
    """How far a length printed to six decimals of `unit` may lie from its true ticks."""
    return math.ceil(Fraction(TICKS[unit], 2_000_000)) + 1


def square(unit: str) -> int:
    """Square ticks in one unit of area of an answer: `ft2` or `m2`."""
    return SQUARE_FOOT if unit == "ft2" else SQUARE_METRE
