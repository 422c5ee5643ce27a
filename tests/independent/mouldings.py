"""Lengths of mouldings a second way: walls moved into the room, and where the moved lines meet.

No angle is taken: a piece reaches from the outermost to the innermost of its four corners, of which
two lie on its wall and two where its front meets the fronts of its neighbours. Nothing here knows
the service.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

import numpy as np
from shapely import LineString, Polygon

Point = Sequence[float]
Row = dict[str, Any]

FAR = 1e6


def ring_of(outline: Sequence[Point]) -> list[Point]:
    """The corners counter-clockwise, without those that lie straight."""
    ring = list(Polygon(outline).simplify(0).exterior.coords)[:-1]
    ring = [p for k, p in enumerate(ring)
            if abs(_turned(ring[k - 1], p, ring[(k + 1) % len(ring)])) > 1e-9]  # fmt: skip
    return ring if Polygon(ring).exterior.is_ccw else ring[::-1]


def _turned(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def corners(outline: Sequence[Point]) -> tuple[int, int]:
    """How many corners turn into the room, and how many out of it."""
    ring = ring_of(outline)
    turns = [_turned(ring[k - 1], ring[k], ring[(k + 1) % len(ring)]) for k in range(len(ring))]
    return sum(turn > 0 for turn in turns), sum(turn < 0 for turn in turns)


def cut_lengths(outline: Sequence[Point], wide: float) -> list[tuple[float, float]]:
    """Of each wall of a ring whose corners are all mitred: its length, and its piece's extent."""
    ring = ring_of(outline)
    walls = [(ring[k], ring[(k + 1) % len(ring)]) for k in range(len(ring))]
    fronts = [LineString([_moved(a, b, wide, -FAR), _moved(a, b, wide, FAR)]) for a, b in walls]
    meets = [fronts[k - 1].intersection(fronts[k]) for k in range(len(ring))]
    found = []
    for k, (a, b) in enumerate(walls):
        way = (np.subtract(b, a)) / np.hypot(*np.subtract(b, a))
        four = (a, b, *((one.x, one.y) for one in (meets[k], meets[(k + 1) % len(ring)])))
        along = [float(np.dot(np.subtract(point, a), way)) for point in four]
        found.append((float(np.hypot(*np.subtract(b, a))), max(along) - min(along)))
    return found


def _moved(a: Point, b: Point, wide: float, along: float) -> tuple[float, float]:
    way = np.subtract(b, a) / np.hypot(*np.subtract(b, a))
    x, y = np.asarray(a) + np.asarray([-way[1], way[0]]) * wide + way * along
    return float(x), float(y)


def fewest_scarfs(
    length: float, usable: float, lap: float, least: float, places: Sequence[float]
) -> int | None:
    """The fewest of `places` that part a wall between stops into pieces a stick gives; by trial."""
    kept = [place for place in places if least <= place <= length - least]
    for count in range(len(kept) + 1):
        for some in itertools.combinations(kept, count):
            if legal(length, usable, lap, least, some):
                return count
    return None


def legal(length: float, usable: float, lap: float, least: float, some: Sequence[float]) -> bool:
    """Whether every piece between these scarfs comes from a stick, and none is short."""
    return all(
        size <= usable + 1e-9 and (not some or size - lap >= least - 1e-9)
        for size in pieces(length, lap, some)
    )


def pieces(length: float, lap: float, scarfs: Sequence[float]) -> list[float]:
    """The pieces of a wall between stops, each longer by half the lap at each scarf."""
    marks = [0.0, *scarfs, length]
    last = len(scarfs)
    return [b - a + lap / 2 * ((k > 0) + (k < last))
            for k, (a, b) in enumerate(itertools.pairwise(marks))]  # fmt: skip


def least_stock(cuts: Sequence[float], stock: Sequence[float], kerf: float, start: float) -> float:
    """The least length of sticks that gives all pieces, by trying every way to share them out."""
    best = [float("inf")]

    def fill(left: list[float], sticks: list[list[float]]) -> None:
        spent = sum(_shortest(own, stock, kerf, start) for own in sticks)
        if spent >= best[0]:
            return
        if not left:
            best[0] = spent
            return
        piece, rest = left[0], left[1:]
        for k in range(len(sticks) + 1):
            own = [*(sticks[k] if k < len(sticks) else []), piece]
            if _shortest(own, stock, kerf, start) < float("inf"):
                fill(rest, [*sticks[:k], own, *sticks[k + 1 :]])

    fill(sorted(cuts, reverse=True), [])
    return best[0]


def _shortest(own: Sequence[float], stock: Sequence[float], kerf: float, start: float) -> float:
    taken = sum(own) + kerf * (len(own) - 1) + start
    return min((one for one in stock if one + 1e-9 >= taken), default=float("inf"))
