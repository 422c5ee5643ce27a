"""Fasteners along a line, at a spacing that is never exceeded."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from service.units.ticks import INCH, ceiling, whole

SHORT_LINE = 2 * INCH
SHORT_PIECE = 4 * INCH


def points(length: int, spacing: int, end: int) -> int:
    """Fasteners on a line of `length` ticks: at most `spacing` apart, `end` from each end (18.1).

    At least 2; 1 on a line under 2 in. `end` is taken as at most a quarter of the length.
    """
    if length < SHORT_LINE:
        return 1
    between = length - 2 * min(end, length // 4)
    return max(2, -(-between // spacing) + 1)


def points_left(length: int, count: int, end: int, crossings: Sequence[int]) -> list[int]:
    """Where of `count` points spread over a line those lie that no crossing stands for (18.5).

    In ticks from the line's start, as are `crossings`, of which each takes the place of the point
    nearest to it, the lower of two as near.
    """
    first = min(end, length // 4)
    step = Fraction(length - 2 * first, max(1, count - 1))
    nearest = [ceiling((at - first) / step - Fraction(1, 2)) for at in crossings]
    taken = {min(count - 1, max(0, k)) for k in nearest}
    return [first + whole(k * step) for k in range(count) if k not in taken]


def least(length: int) -> int:
    """The fewest fasteners that a piece of `length` ticks may have (18.6)."""
    return 1 if length < SHORT_PIECE else 2
