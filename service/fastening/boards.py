"""Fasteners of a board at each crossing, by pattern, place in the field and width (18.3)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from service.units.ticks import INCH

Pattern = Literal["blind", "blind_face", "face"]
Where = Literal["first", "field", "last"]


@dataclass(frozen=True, slots=True)
class AtCrossing:
    """Fasteners of one board at one bearing: hidden in the tongue, and through the face."""

    blind: int
    face: int


def at_crossing(pattern: Pattern, where: Where, width: int, has_tongue: bool) -> AtCrossing:
    """How many a board of `width` ticks gets at each bearing.

    The last course cannot be reached behind its tongue, and a piece that lost its tongue has
    none to hide in: both are faced.
    """
    if pattern == "face":
        return AtCrossing(0, _by_width(width))
    if where == "last" or not has_tongue:
        plain = 2 if width > 4 * INCH else 1
        return AtCrossing(0, 2 if pattern == "blind_face" else plain)
    if pattern == "blind_face" or where == "first":
        return AtCrossing(1, 1)
    return AtCrossing(1, 0)


def _by_width(width: int) -> int:
    if width <= 4 * INCH:
        return 1
    return 2 if width <= 6 * INCH else 3
