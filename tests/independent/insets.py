"""The outline moved in by a gap of its own at each edge: each two neighbouring lines, moved, meet.

Where one wall only bends (under 15 degrees, 17.6), or the lines would meet beside the wider gap at
an inner corner, the wider gap ends square there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import LineString, Polygon

Vector = tuple[float, float]

BEND = math.sin(math.radians(15))


@dataclass(frozen=True)
class Wall:
    """The gap at an edge, ticks; whether it is hidden, and whether the boards are scribed to it."""

    gap: int
    covered: bool
    scribed: bool = False


@dataclass(frozen=True)
class Inset:
    """What is left of an outline, and the line along which each wall's gap ends."""

    shape: Polygon
    lines: list[tuple[int, LineString]]

    def walls_at(self, point: Vector, give: float) -> set[int]:
        """Numbers of the walls whose gap ends within `give` of a point."""
        near = [(line.distance(_point(point)), number) for number, line in self.lines]
        least = min(near)[0]
        return {number for off, number in near if off <= least + give}


def _point(at: Vector) -> LineString:
    return LineString([at, at])


def inset(corners: Sequence[Vector], gaps: Sequence[float]) -> Inset | None:
    """The inset of an outline; None where an edge vanishes, so that lines do not meet in order."""
    ring = list(corners)
    turned = Polygon(ring).exterior.is_ccw
    count = len(ring)
    ends: list[list[Vector]] = []
    for k in range(count):
        ends.append(_met(ring[k - 1], ring[k], ring[(k + 1) % count], gaps[k - 1], gaps[k], turned))
    lines = [(ends[k][-1], ends[(k + 1) % count][0]) for k in range(count)]
    for k, (a, b) in enumerate(lines):
        (px, py), (qx, qy) = ring[k], ring[(k + 1) % count]
        if (b[0] - a[0]) * (qx - px) + (b[1] - a[1]) * (qy - py) <= 0:
            return None
    shape = Polygon([point for points in ends for point in points])
    if not shape.is_valid:
        return None
    return Inset(shape, [(k, LineString(line)) for k, line in enumerate(lines)])


def _met(
    before: Vector, at: Vector, after: Vector, gap: float, next_gap: float, turned: bool
) -> list[Vector]:
    """Where the moved lines of two edges that share the corner `at` meet: one point, or a step."""
    side = 1 if turned else -1
    one, other = _normal(before, at, side), _normal(at, after, side)
    cosine = one[0] * other[0] + one[1] * other[1]
    turn = side * (one[0] * other[1] - one[1] * other[0])
    wide, narrow = max(gap, next_gap), min(gap, next_gap)
    if narrow < wide * cosine and turn < BEND:
        reach = narrow / cosine
        if gap > next_gap:
            return [_on(at, one, gap), _on(at, one, reach)]
        return [_on(at, other, reach), _on(at, other, next_gap)]
    size = one[0] * other[1] - one[1] * other[0]
    if abs(size) < 1e-12:
        return [_on(at, one, gap)]
    x = (gap * other[1] - next_gap * one[1]) / size
    y = (next_gap * one[0] - gap * other[0]) / size
    return [(at[0] + x, at[1] + y)]


def _on(at: Vector, way: Vector, by: float) -> Vector:
    return at[0] + way[0] * by, at[1] + way[1] * by


def _normal(start: Vector, end: Vector, side: int) -> Vector:
    dx, dy = end[0] - start[0], end[1] - start[1]
    size = math.hypot(dx, dy)
    return -side * dy / size, side * dx / size
