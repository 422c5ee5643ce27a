"""The tick, 1/40 000 mm: fine enough that 1/64 in, 0.001 in and 0.001 mm are whole numbers.

Every length inside the service is an integer of ticks, every area an integer of half square
ticks (twice the area), so sums are exact and a ledger closes at zero on every machine.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor
from typing import Final

MM: Final = 40_000
INCH: Final = 1_016_000
FOOT: Final = 12 * INCH
SIXTEENTH: Final = INCH // 16
SIXTY_FOURTH: Final = INCH // 64

TICKS_PER_UNIT: Final[dict[str, int]] = {
    "in": INCH,
    "ft": FOOT,
    "mm": MM,
    "cm": 10 * MM,
    "m": 1000 * MM,
}
"""Ticks in one of each unit that a request may declare (pint is the tests' oracle)."""

METRIC: Final = frozenset({"mm", "cm", "m"})
"""Units of a metric request: its areas are square metres, its weights kilograms."""

KILOGRAM_IN_A_POUND: Final = Fraction(45_359_237, 10**8)
"""Exact: international yard and pound agreement, 1959."""

KILOGRAM_PER_CUBIC_METRE: Final = Fraction(FOOT, 1000 * MM) ** 3 / KILOGRAM_IN_A_POUND
"""In pounds per cubic foot, exact."""

LONGEST: Final = 10_000_000 * MM
"""10 km: no length or coordinate goes beyond it."""


def down(length: int, step: int) -> int:
    """The largest multiple of `step` (ticks) that is not over `length` (ticks)."""
    return length // step * step


def up(length: int, step: int) -> int:
    """The smallest multiple of `step` (ticks) that is not under `length` (ticks)."""
    return -(-length // step) * step


def nearest(length: int, step: int) -> int:
    """The multiple of `step` (ticks) nearest to `length` (ticks), half up."""
    return (2 * length + step) // (2 * step) * step


def sixty_fourths(length: int) -> int:
    """A length in 64ths of an inch, to the nearest."""
    return nearest(length, SIXTY_FOURTH) // SIXTY_FOURTH


def whole(value: Fraction | float | int) -> int:
    """The integer nearest to `value`, half up; for snapping a computed length to a tick."""
    if isinstance(value, int):
        return value
    if isinstance(value, float):
        return (floor(2 * value) + 1) // 2  # exact: twice a float is a float
    return (2 * value.numerator // value.denominator + 1) // 2


def ceiling(value: Fraction | int) -> int:
    """The smallest integer that is not under `value`; counts and packages are made with it."""
    return -((-value.numerator) // value.denominator)
