"""Fasteners of a sheet along the members it lies on, and along edges that blocks carry (18.7)."""

from __future__ import annotations

from dataclasses import dataclass

from service.fastening.spacing import points


@dataclass(frozen=True, slots=True)
class Line:
    """A member under a sheet: lengths (ticks) over which the sheet lies on it.

    `at_edge` says that an end of the sheet, or an opening's edge, is on it.
    """

    lengths: tuple[int, ...]
    at_edge: bool


def rows_across(line: Line, spacing: int, away: int) -> int:
    """Fasteners along one member, at most `spacing` apart and `away` from each end (18.1)."""
    return sum(points(length, spacing, away) for length in line.lengths)


def rows_along(length: int, crossed: int, spacing: int, away: int) -> int:
    """What a carried long edge adds to the members that cross it.

    Its own row takes the place of the end point of each of the `crossed` rows: a corner belongs
    to one row only (18.8), and nothing is ever taken away.
    """
    return max(0, points(length, spacing, away) - crossed)
