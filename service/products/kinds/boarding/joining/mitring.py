"""What slanted ends may share with the next piece in a stick: one cut parts both (4.5, 8.5)."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from service.geometry.rings import Point, Polygon, corners_between
from service.joints.records import Slant
from service.units.ticks import ceiling, up

FLATTEST = 10
"""An edge that runs farther along the board for what it runs across is ripped, not cut off."""


def slants_of(polygon: Polygon, cut_to: int, ripped_from: int | None) -> tuple[Slant, Slant]:
    """How far the low and the high end of a run lie behind their long points.

    `ripped_from` is the overall width of the board that the run is ripped from, None where it is
    not: a cut through that board may go on past the rip, so all that it can take away is
    counted at either edge, as it is where one end of the run is narrower than the other. Ends
    without a slant give 0: square nibs do not nest. Ticks, up to `cut_to`.
    """
    if polygon.is_box:
        return Slant(), Slant()
    low, high, near, far = polygon.box
    ring = polygon.outer
    ends = (
        corners_between(
            ring, min(p for p in ring if p[1] == far), min(p for p in ring if p[1] == near)
        ),
        corners_between(
            ring, max(p for p in ring if p[1] == near), max(p for p in ring if p[1] == far)
        ),
    )
    first, last = (
        _slant([(abs(u - end), v) for u, v in chain], far - near, cut_to, ripped_from)
        for chain, end in zip(ends, (low, high), strict=True)
    )
    return first, last


def _slant(chain: list[Point], face: int, cut_to: int, ripped_from: int | None) -> Slant:
    """The slant of an end; its corners are (depth, station across), from one edge to the other."""
    edges = [
        (abs(a[0] - b[0]), abs(a[1] - b[1]), a[0] + b[0], max(a[0], b[0]))
        for a, b in pairwise(chain)
        if abs(a[0] - b[0]) <= FLATTEST * abs(a[1] - b[1])
    ]
    if not any(along for along, _, _, _ in edges):
        return Slant()
    covered = sum(across for _, across, _, _ in edges)
    deepest = max(deep for _, _, _, deep in edges)
    every = up(ceiling(Fraction(deepest * (ripped_from or face), covered)), cut_to)
    if ripped_from is not None:
        return Slant(every, every, every)
    twice = sum(both * across for _, across, both, _ in edges)
    beyond = Fraction(2 * (face - covered) * deepest * face, covered)
    mean = up(ceiling((twice + beyond) / Fraction(2 * face)), cut_to)
    (near, _), (far, _) = sorted((chain[0], chain[-1]), key=lambda corner: corner[1])
    if covered == face and not (near and far):
        straight = far - near if len(chain) == 2 else 0
        return Slant(up(near, cut_to), up(far, cut_to), mean, straight)
    return Slant(every, every, mean)
