"""What slanted ends may share with the next piece in a stick: one cut parts both (4.5, 8.5)."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from service.geometry.rings import Point, Polygon
from service.units.ticks import ceiling, up

FLATTEST = 10
"""An edge that runs farther along the board for what it runs across is ripped, not cut off."""


def mean_depths(polygon: Polygon, cut_to: int, ripped_from: int | None) -> tuple[int, int]:
    """By how much the low and the high end of a run are shorter in the mean than long points.

    All pieces of a stick lie with their faces in line, so along every line of the face their
    lengths and the kerfs between them are within the stick, and so are their means over the
    face. `ripped_from` is the overall width of the board that the run is ripped from, None where
    it is not: a cut through that board may go on past the rip, so all that it can take away is
    counted, as it is where one end of the run is narrower than the other. Ends without a slant
    give 0: square nibs do not nest. Ticks, up to `cut_to`.
    """
    if polygon.is_box:
        return 0, 0
    low, high, near, far = polygon.box
    ring = polygon.outer
    ends = (
        _chain(ring, min(p for p in ring if p[1] == far), min(p for p in ring if p[1] == near)),
        _chain(ring, max(p for p in ring if p[1] == near), max(p for p in ring if p[1] == far)),
    )
    first, last = (
        _mean([(abs(u - end), v) for u, v in chain], far - near, cut_to, ripped_from)
        for chain, end in zip(ends, (low, high), strict=True)
    )
    return first, last


def _chain(ring: tuple[Point, ...], start: Point, end: Point) -> list[Point]:
    """The corners of a ring from one to another, as it goes round."""
    place = ring.index(start)
    turned = [*ring[place:], *ring[:place]]
    return turned[: turned.index(end) + 1]


def _mean(chain: list[Point], face: int, cut_to: int, ripped_from: int | None) -> int:
    """The mean depth of an end over the face; its corners are (depth, station across)."""
    edges = [
        (abs(a[0] - b[0]), abs(a[1] - b[1]), a[0] + b[0], max(a[0], b[0]))
        for a, b in pairwise(chain)
        if abs(a[0] - b[0]) <= FLATTEST * abs(a[1] - b[1])
    ]
    if not any(along for along, _, _, _ in edges):
        return 0
    covered = sum(across for _, across, _, _ in edges)
    deepest = max(deep for _, _, _, deep in edges)
    if ripped_from is not None:
        return up(ceiling(Fraction(deepest * ripped_from, covered)), cut_to)
    twice = sum(both * across for _, across, both, _ in edges)
    beyond = Fraction(2 * (face - covered) * deepest * face, covered) if covered < face else 0
    return up(ceiling((twice + beyond) / Fraction(2 * face)), cut_to)
