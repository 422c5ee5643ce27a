"""Rings and polygons of integer points, and their exact areas."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import compress
from math import cos, hypot, pi, sin, sqrt
from operator import gt, mul, ne, sub
from typing import TypeAlias

from service.geometry.flanks import Flanks, flanks_of, is_stout
from service.units.folding import folded
from service.units.once import once, told
from service.units.ticks import whole

Point: TypeAlias = tuple[int, int]
Ring: TypeAlias = tuple[Point, ...]
Line: TypeAlias = tuple[Point, Point]
Box: TypeAlias = tuple[int, int, int, int]
"""Least and greatest first coordinate, least and greatest second."""


def twice_signed(ring: Ring) -> int:
    """Twice the signed area of `ring` (half square ticks): positive counter-clockwise."""
    if len(ring) == 4:
        (a, b), (c, d), (e, f), (g, h) = ring
        return (e - a) * (h - d) - (g - c) * (f - b)  # by its diagonals
    if not ring:
        return 0
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    forward: Iterable[int] = map(mul, _before(xs), ys)
    back: Iterable[int] = map(mul, xs, _before(ys))
    return sum(forward) - sum(back)


def _turns_once(ring: Ring) -> bool:
    """Whether a ring turns left at every corner and goes round once."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    along, across = list(map(sub, xs, _before(xs))), list(map(sub, ys, _before(ys)))
    left = map(gt, map(mul, along, _after(across)), map(mul, across, _after(along)))
    onward = [int(step > 0) for step in along if step]
    return len(ring) > 2 and all(left) and list(map(ne, onward, _after(onward))).count(True) == 2


def _before(values: list[int]) -> list[int]:
    """For each value the one before it in the ring."""
    return values[-1:] + values[:-1]


def _after(values: list[int]) -> list[int]:
    """For each value the one after it in the ring."""
    return values[1:] + values[:1]


@dataclass(frozen=True)
class Polygon:
    """An outer ring, counter-clockwise, and holes, clockwise; integer points in ticks."""

    outer: Ring
    holes: tuple[Ring, ...] = ()

    @once
    def twice_area(self) -> int:
        """Twice the area in square ticks."""
        return twice_signed(self.outer) + sum(twice_signed(hole) for hole in self.holes)

    @once
    def box(self) -> Box:
        """Least and greatest first coordinate, least and greatest second."""
        firsts, seconds = zip(*self.outer, strict=True)
        return min(firsts), max(firsts), min(seconds), max(seconds)

    @once
    def is_box(self) -> bool:
        """Whether the polygon is an upright rectangle."""
        low, high, near, far = self.box
        if self.holes or not all(u in (low, high) or v in (near, far) for u, v in self.outer):
            return False
        return self.twice_area == 2 * (high - low) * (far - near)

    @once
    def is_plain(self) -> bool:
        """Whether it is an upright rectangle by its four corners, which nothing can cross."""
        return len(self.outer) == 4 and self.is_box

    @once
    def is_convex(self) -> bool:
        """Whether the polygon turns left at each corner, once round, and has no hole."""
        return not self.holes and _turns_once(self.outer)

    @once
    def is_pierced(self) -> bool:
        """Whether it is known as a rectangle with convex holes that touch neither it nor others."""
        return False

    @once
    def is_stout(self) -> bool:
        """Whether it is convex and nowhere so thin or sharp that snapping changes its shape."""
        return self.is_convex and is_stout(self.outer)

    @once
    def flanks(self) -> Flanks:
        """The two flanks of a convex polygon."""
        return flanks_of(self.outer)

    @once
    def _otherwise(self) -> Polygon | None:
        """The same with its rings cleaned; None where they are."""
        outer, holes = clean(self.outer), tuple(clean(hole)[::-1] for hole in self.holes)
        return None if (outer, holes) == (self.outer, self.holes) else clean_polygon(outer, holes)

    @property
    def cleaned(self) -> Polygon:
        """The same with its rings cleaned."""
        return self._otherwise or self

    @property
    def tidy(self) -> Polygon:
        """The same as a set operation gives it: rings cleaned, holes in order."""
        made = self.cleaned
        holes = tuple(sorted(made.holes))
        return made if holes == made.holes else clean_polygon(made.outer, holes)

    @property
    def rings(self) -> tuple[Ring, ...]:
        """The outer ring, then the holes."""
        return (self.outer, *self.holes)


Region: TypeAlias = tuple[Polygon, ...]


def clean_polygon(outer: Ring, holes: tuple[Ring, ...] = ()) -> Polygon:
    """A polygon of rings that are clean already."""
    return told(Polygon(outer, holes), _otherwise=None)


def box_polygon(box: Box) -> Polygon:
    """An upright rectangle, not empty, by its sides; all that is asked of it is known."""
    low, high, near, far = box
    return told(
        Polygon(((low, near), (high, near), (high, far), (low, far))),
        box=box,
        twice_area=2 * (high - low) * (far - near),
        is_box=True,
        is_plain=True,
        _otherwise=None,
    )


def twice_area(region: Iterable[Polygon]) -> int:
    """Twice the area of a region of separate polygons, in square ticks."""
    return sum(polygon.twice_area for polygon in region)


def meet(a: Box, b: Box) -> bool:
    """Whether two boxes share an area."""
    return a[0] < b[1] and b[0] < a[1] and a[2] < b[3] and b[2] < a[3]


def within(a: Box, b: Box) -> bool:
    """Whether the first box lies in the second, its edges included."""
    return b[0] <= a[0] and a[1] <= b[1] and b[2] <= a[2] and a[3] <= b[3]


def strictly_within(a: Box, b: Box) -> bool:
    """Whether the first box lies in the second and touches none of its edges."""
    return b[0] < a[0] and a[1] < b[1] and b[2] < a[2] and a[3] < b[3]


def touching(boxes: Sequence[Box]) -> set[int]:
    """The numbers of the boxes that touch or overlap another one."""
    found: set[int] = set()
    open_ones: list[int] = []
    for k in sorted(range(len(boxes)), key=lambda k: boxes[k]):
        low, _, near, far = boxes[k]
        open_ones = [j for j in open_ones if boxes[j][1] >= low]
        met = [j for j in open_ones if boxes[j][2] <= far and near <= boxes[j][3]]
        if met:
            found.update((k, *met))
        open_ones.append(k)
    return found


def shared(a: Box, b: Box) -> Region:
    """What two boxes share, as a region; nothing where they only touch."""
    if not meet(a, b):
        return ()
    return (box_polygon((max(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), min(a[3], b[3]))),)


def bounds(region: Region) -> Box:
    """Least and greatest first coordinate, least and greatest second, over a region."""
    if len(region) == 1:
        return region[0].box
    lows, highs, nears, fars = zip(*(polygon.box for polygon in region), strict=True)
    return min(lows), max(highs), min(nears), max(fars)


def around(ring: Ring) -> int:
    """Length of a ring, to the nearest tick."""
    pairs = zip(ring, ring[1:] + ring[:1], strict=True)
    return whole(folded(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairs))


def reaches(polygon: Polygon, at: int, axis: int) -> list[tuple[int, int]]:
    """From where to where the line at value `at` of coordinate `axis` lies in a polygon, in order.

    Where the line runs along an edge, the side of higher values counts. To the tick.
    """
    other = 1 - axis
    if polygon.is_plain:
        spans = polygon.box[:2], polygon.box[2:]
        return [spans[other]] if spans[axis][0] <= at < spans[axis][1] else []
    met = []
    for ring in polygon.rings:
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            low, high = (a, b) if a[axis] < b[axis] else (b, a)
            if low[axis] <= at < high[axis]:
                rise = high[other] - low[other]
                met.append(low[other] + rise * (at - low[axis]) // (high[axis] - low[axis]))
    met.sort()
    return list(zip(met[::2], met[1::2], strict=True))


def rectangle(low: int, near: int, high: int, far: int) -> Ring:
    """The counter-clockwise ring of an upright rectangle."""
    return ((low, near), (high, near), (high, far), (low, far))


def circle(x: int, y: int, diameter: int, corners: int = 128) -> Ring:
    """A regular ring of `corners` corners with the area of the circle, snapped to ticks.

    Its edge strays from the circle by at most 0.02 % of the radius.
    """
    return tuple((x + u, y + v) for u, v in _round(diameter, corners))


@lru_cache(maxsize=64)
def _round(diameter: int, corners: int) -> Ring:
    """The same round the origin, for openings are often alike."""
    turn = 2 * pi / corners
    radius = diameter / 2 * sqrt(turn / sin(turn))
    return tuple(
        (whole(radius * cos(k * turn)), whole(radius * sin(k * turn))) for k in range(corners)
    )


def clean(points: Iterable[Point]) -> Ring:
    """`points` as a counter-clockwise ring without repeated or straight-through corners.

    It starts at the lowest corner, so a ring has one form however it was written.
    """
    ring = _without_straight(_unrepeated(list(points)))
    if len(ring) < 3:
        return tuple(ring)
    if twice_signed(tuple(ring)) < 0:
        ring.reverse()
    first = min(range(len(ring)), key=[(y, x) for x, y in ring].__getitem__)
    return tuple(ring[first:] + ring[:first])


def corners_between(ring: Ring, start: Point, end: Point) -> list[Point]:
    """The corners of a ring from one of them to another, as it goes round."""
    place = ring.index(start)
    turned = [*ring[place:], *ring[:place]]
    return turned[: turned.index(end) + 1]


def spike_of(points: Iterable[Point]) -> Point | None:
    """The first corner where `points` turn straight back, or None; repeated corners are one."""
    ring = _unrepeated(list(points))
    for a, b, c in zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True):
        (ux, uy), (vx, vy) = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
        if ux * vy == uy * vx and ux * vx + uy * vy < 0:
            return b
    return None


def _unrepeated(points: list[Point]) -> list[Point]:
    kept = list(compress(points, map(ne, points, points[-1:] + points[:-1])))
    return kept or points[:1]


def _without_straight(ring: list[Point]) -> list[Point]:
    """Drop corners that lie on the straight line between their neighbours, till none is left."""
    while len(ring) >= 3:
        xs, ys = [x for x, _ in ring], [y for _, y in ring]
        along, across = list(map(sub, xs, _before(xs))), list(map(sub, ys, _before(ys)))
        turns = list(map(ne, map(mul, along, _after(across)), map(mul, across, _after(along))))
        if all(turns):
            break
        ring = list(compress(ring, turns))
    return ring
