"""How much wider or narrower wood is at another moisture content (26.5).

Wood Handbook (FPL-GTR-190), chapter 13: the linear equation 13-2 with the coefficients of table
13-5, good from 6 to 14 percent; and 13-3, by the whole shrinkage of a species, which that range
does not bind. Above the fibre saturation point, 30 percent, wood moves no more.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

SATURATED: Final = Fraction(30)
"""The fibre saturation point that the handbook assumes, percent."""

LEAST: Final = Fraction(6)
MOST: Final = Fraction(14)
"""Percent between which the linear equation holds."""


def movement(width: Fraction, coefficient: Fraction, first: Fraction, last: Fraction) -> Fraction:
    """How much `width` (ticks) grows from `first` to `last` percent; below zero it shrinks.

    `coefficient` is the change of a width of one for a percent (13-2).
    """
    return width * coefficient * (_bound(last) - _bound(first))


def movement_by_shrinkage(
    width: Fraction, shrinkage: Fraction, first: Fraction, last: Fraction
) -> Fraction:
    """The same by the `shrinkage` from green to oven-dry, percent of the green width (13-3)."""
    first, last = _bound(first), _bound(last)
    return width * (last - first) / (SATURATED * 100 / shrinkage - SATURATED + first)


def holds(*contents: Fraction) -> bool:
    """Whether all of these are within the range of the linear equation."""
    return all(LEAST <= one <= MOST for one in contents)


def coefficient_of(shrinkage: Fraction, saturated: Fraction = SATURATED) -> Fraction:
    """The coefficient of the linear equation of a wood that shrinks so much, percent; exact.

    `saturated` is the content, percent, at which it begins to shrink; the width is that at ten.
    Every coefficient of table 13-5 that was held against its shrinkage in table 4-3 follows so.
    """
    each = shrinkage / (100 * saturated)
    return each / (1 - each * (saturated - 10))


def _bound(content: Fraction) -> Fraction:
    return min(content, SATURATED)
