"""Regions: the connected parts of what a layer may be laid on, numbered by where they lie."""

from __future__ import annotations

from collections.abc import Sequence

from service.geometry.plane import distance, intersection, without_needles
from service.geometry.rings import Polygon, Region, around, bounds, twice_area
from service.units.ticks import SIXTY_FOURTH, nearest

SNAPPED = 8
"""Ticks that snapping can move edges of two parts of a shape apart, as areas take it: twice."""


def in_order(parts: Region) -> Region:
    """Separate parts from the low side along (x), then across (y); what snapping left is dropped.

    Places are compared in 1/64 in from the lowest of all, so that neither units nor where the
    surface lies in its plane change a number.
    """
    kept = without_needles(parts)
    if len(kept) < 2:
        return kept
    low, _, near, _ = bounds(kept)
    return tuple(sorted(kept, key=lambda one: _place(one, low, near)))


def _place(part: Polygon, low: int, near: int) -> tuple[int, int, int, int]:
    a, b, c, d = part.box
    along, beyond, across, above = (
        nearest(at, SIXTY_FOURTH) for at in (a - low, b - low, c - near, d - near)
    )
    return along, across, beyond, above


def number_in(regions: Sequence[Region], shape: Region) -> int:
    """The number, from 1 on, of the region in which most of `shape` lies; of the nearest if none.

    Of two that hold as much, but for what snapping moves, it is the first.
    """
    beside = [k for k, one in enumerate(regions) if _meet(bounds(one), bounds(shape))]
    if len(beside) == 1:
        return beside[0] + 1
    held = {k: twice_area(intersection(regions[k], shape)) for k in beside}
    if any(held.values()):
        enough = max(held.values()) - SNAPPED * sum(around(part.outer) for part in shape)
        return 1 + next(k for k in beside if held[k] >= enough)
    return 1 + min(range(len(regions)), key=lambda k: distance(regions[k], shape))


def _meet(one: tuple[int, int, int, int], other: tuple[int, int, int, int]) -> bool:
    """Whether two boxes have area in common."""
    along = one[0] < other[1] and other[0] < one[1]
    return along and one[2] < other[3] and other[2] < one[3]
