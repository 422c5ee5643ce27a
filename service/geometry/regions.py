"""Regions: the connected parts of what a layer may be laid on, numbered by where they lie."""

from __future__ import annotations

from collections.abc import Sequence

from service.geometry.plane import distance, intersection, without_needles
from service.geometry.rings import Polygon, Region, bounds
from service.units.ticks import SIXTY_FOURTH, nearest


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
    """The number, from 1 on, of the first region that `shape` lies in; of the nearest if in none.

    It lies in one by more than what snapping opens.
    """
    beside = [k for k, one in enumerate(regions) if _meet(bounds(one), bounds(shape))]
    if len(beside) == 1:
        return beside[0] + 1
    for k in beside:
        if without_needles(intersection(regions[k], shape)):
            return k + 1
    return 1 + min(range(len(regions)), key=lambda k: distance(regions[k], shape))


def _meet(one: tuple[int, int, int, int], other: tuple[int, int, int, int]) -> bool:
    """Whether two boxes have area in common."""
    along = one[0] < other[1] and other[0] < one[1]
    return along and one[2] < other[3] and other[2] < one[3]
