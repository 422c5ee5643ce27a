"""Walls between corners: the sides of a ring taken together where they bend by hardly anything.

A surface lies at the left of its rings, so a turn to the left is an inside corner of the room, one
to the right an outside corner (17.1). Lengths in ticks, turns in degrees, above 0 to the left.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import atan2, degrees, hypot, radians, tan
from typing import NamedTuple

from service.geometry.edges import Edge, Side
from service.geometry.frame import Frame
from service.geometry.rings import Point, Polygon, Ring, clean
from service.geometry.strips import cut_across
from service.geometry.surface import Member
from service.units.folding import folded
from service.units.once import once
from service.units.ticks import SIXTY_FOURTH, whole

STRAIGHT = 1.0
"""Degrees under which a wall that turns goes on (17.6)."""

_PARALLEL = 1e-9
_SHARPEST = 179.0
"""Degrees of a turn from which no mitre is cut."""


class Strip(NamedTuple):
    """What a piece along a wall covers: its ring, and twice its area as measured along the wall.

    Pieces of one wall add up to it exactly, which corners that are snapped one by one do not.
    """

    ring: Ring
    twice_area: int


@dataclass(frozen=True, slots=True)
class Corner:
    """Where a wall ends: how far it turns there, and what the next wall is.

    `chosen` says whether that wall is one of those asked for, `edge` the edge that it lies on.
    """

    turn: float
    chosen: bool
    edge: Edge | None


@dataclass(frozen=True)
class Wall:
    """A wall from corner to corner, the surface at its left: its points, and both its corners.

    `edges` are the edges of the outline on which it lies; none for what layers behind took away.
    """

    points: tuple[Point, ...]
    corners: tuple[Corner, Corner]
    edges: tuple[Edge, ...]

    @property
    def length(self) -> int:
        """From corner to corner along the wall."""
        return sum(self.lengths)

    @once
    def lengths(self) -> tuple[int, ...]:
        """Of its straight parts, one after another, each to where the wall is that long."""
        sizes = accumulate(_size(*line) for line in pairwise(self.points))
        return tuple(b - a for a, b in pairwise([0, *map(whole, sizes)]))

    def meets(self, members: Sequence[Member]) -> tuple[int, ...]:
        """How far from its start the wall crosses the centre line of each member, in order."""
        found: set[int] = set()
        start = 0
        for line, length in zip(pairwise(self.points), self.lengths, strict=True):
            found.update(start + at for at in _crossings(line, length, members))
            start += length
        return tuple(sorted(found))

    def lies_along(self, members: Sequence[Member], reach: int) -> bool:
        """Whether a member stands along all of it, within `reach` of it on the surface's side."""
        return len(self.points) == 2 and any(
            _is_beside(self.points[0], self.points[1], one, reach) for one in members
        )

    def strips(
        self, wide: int, cuts: tuple[float, float], joints: Sequence[int] = ()
    ) -> tuple[Strip, ...]:
        """What a strip along the wall covers, `wide` across, parted square to it at the `joints`.

        Its ends are cut so many degrees off square, above 0 longest at the wall. Where two such
        cuts cross, it ends in a point. Together the parts cover as much as the strip unparted.
        """
        if len(self.points) == 2:
            return self._straight(wide, cuts, joints)
        reach = min(wide, self._widest(cuts))
        ends = [0, *joints, self.length]
        last = len(joints)
        return tuple(
            self._bent(
                low, high, reach, (cuts[0] if k == 0 else 0.0, cuts[1] if k == last else 0.0)
            )
            for k, (low, high) in enumerate(pairwise(ends))
        )

    def _straight(
        self, wide: int, cuts: tuple[float, float], joints: Sequence[int]
    ) -> tuple[Strip, ...]:
        """Parted in stations along the wall: a joint may lie beside a slanting end."""
        way = _way(*self.points)
        frame = Frame(way, (-way[1], way[0]), self.points[0], (0, 0))
        low, high = wide * tan(radians(cuts[0])), self.length - wide * tan(radians(cuts[1]))
        ring: list[Point] = [(0, 0), (self.length, 0)]
        if low < high:
            ring += [(whole(high), wide), (whole(low), wide)]
        else:
            share = self.length / (low + self.length - high)
            ring.append((whole(low * share), whole(wide * share)))
        parts = cut_across(Polygon(clean(ring)), list(joints))
        return tuple(Strip(frame.ring_back(own[0].outer), own[0].twice_area) for own in parts)

    def _widest(self, cuts: tuple[float, float]) -> float:
        """How wide a strip along a bent wall is drawn at most, so that its front does not fold."""
        slant = max(0.0, *(tan(radians(cut)) for cut in cuts))
        straight = min(self.lengths) / (2 * tan(radians(STRAIGHT / 2)))
        return min(straight, self.length / (2 * slant) if slant else straight)

    def _bent(self, low: int, high: int, wide: float, cuts: tuple[float, float]) -> Strip:
        """A part of a strip along a bent wall; at each bend its front is shorter, or longer."""
        own = self.part(low, high).points
        inner = [_inside(own, k, wide) for k in range(len(own))]
        inner[0] = _along(inner[0], _way(*own[:2]), wide * tan(radians(cuts[0])))
        inner[-1] = _along(inner[-1], _way(*own[-2:]), -wide * tan(radians(cuts[1])))
        ring = (*own, *((whole(x), whole(y)) for x, y in reversed(inner)))
        slants = [2 * slant for at, slant in self._bends() if low < at <= high]
        slants += [tan(radians(cut)) for cut in cuts]
        return Strip(ring, whole(2 * wide * (high - low) - wide * wide * folded(slants)))

    def _bends(self) -> Iterator[tuple[int, float]]:
        """Where it bends, and the tangent of half of each bend, above 0 to the left."""
        at = 0
        sides = [Side(*line) for line in pairwise(self.points)]
        for (before, after), length in zip(pairwise(sides), self.lengths, strict=False):
            at += length
            yield at, tan(radians(_turn(before, after) / 2))

    def part(self, low: int, high: int) -> Wall:
        """The wall from one station of it to another."""
        points, start = [], 0
        for (a, b), length in zip(pairwise(self.points), self.lengths, strict=True):
            if start < high and start + length > low:
                points.append(_between(a, b, max(0, low - start), length))
                last = _between(a, b, min(length, high - start), length)
            start += length
        return Wall((*points, last), self.corners, self.edges)

    def moved_out(self, by: int) -> Wall:
        """The wall so far to its right: beyond the surface."""
        if not by:
            return self
        moved = (_inside(self.points, k, -by) for k in range(len(self.points)))
        return Wall(tuple((whole(x), whole(y)) for x, y in moved), self.corners, self.edges)

    def lengthened(self, first: int, last: int) -> Wall:
        """With so much more of it at its start and at its end."""
        if not first and not last:
            return self
        low = _along(self.points[0], _way(*self.points[:2]), -first)
        high = _along(self.points[-1], _way(*self.points[-2:]), last)
        ends = [(whole(x), whole(y)) for x, y in (low, high)]
        return Wall((ends[0], *self.points[1:-1], ends[1]), self.corners, self.edges)


def walls_of(ring: Sequence[Side], chosen: Sequence[bool]) -> tuple[Wall, ...]:
    """The walls that are `chosen` of a ring's sides, as the ring runs.

    Sides that turn by less than a degree are one wall. A ring without a corner is one wall that
    begins and ends at its first side. Sides shorter than 1/64 in are none.
    """
    kept = [(side, own) for side, own in zip(ring, chosen, strict=True)
            if _size(side.start, side.end) >= SIXTY_FOURTH]  # fmt: skip
    if len(kept) < 2:
        return ()
    sides, own = [side for side, _ in kept], [one for _, one in kept]
    count = len(sides)
    turns = [_turn(sides[k - 1], sides[k]) for k in range(count)]
    starts = [k for k in range(count) if own[k] != own[k - 1] or abs(turns[k]) >= STRAIGHT]
    found = []
    starts = starts or [0]
    for first, after in zip(starts, [*starts[1:], *starts[:1]], strict=True):
        if own[first]:
            numbers = [k % count for k in range(first, after if after > first else after + count)]
            found.append(_wall(sides, own, turns, numbers))
    return tuple(found)


def _wall(
    sides: Sequence[Side], own: Sequence[bool], turns: Sequence[float], numbers: Sequence[int]
) -> Wall:
    first, after = numbers[0], (numbers[-1] + 1) % len(sides)
    points = (*(sides[k].start for k in numbers), sides[numbers[-1]].end)
    return Wall(
        points=points,
        corners=(
            Corner(turns[first], own[first - 1], sides[first - 1].edge),
            Corner(turns[after], own[after], sides[after].edge),
        ),
        edges=tuple(dict.fromkeys(e for k in numbers if (e := sides[k].edge) is not None)),
    )


def mitre(wide: int, off: float) -> int:
    """How far an end cut `off` degrees off square reaches over `wide` ticks: P tan(d/2) (17.1)."""
    return whole(wide * tan(radians(min(abs(off), _SHARPEST / 2))))


def _turn(before: Side, after: Side) -> float:
    """How far the way turns from one side to the next, to a thousandth of a degree."""
    (ax, ay), (bx, by) = (_minus(one.end, one.start) for one in (before, after))
    return round(degrees(atan2(ax * by - ay * bx, ax * bx + ay * by)), 3)


def _size(a: Point, b: Point) -> float:
    return hypot(b[0] - a[0], b[1] - a[1])


_Vector = tuple[float, float]


def _minus(a: _Vector, b: _Vector) -> _Vector:
    return a[0] - b[0], a[1] - b[1]


def _dot(a: _Vector, b: _Vector) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _way(a: Point, b: Point) -> _Vector:
    size = _size(a, b)
    return (b[0] - a[0]) / size, (b[1] - a[1]) / size


def _along(at: _Vector, way: _Vector, by: float) -> _Vector:
    return at[0] + way[0] * by, at[1] + way[1] * by


def _inside(points: Sequence[Point], k: int, wide: float) -> _Vector:
    """A point of a wall moved square to it into the surface; at a bend to where both lines meet."""
    ways = [_way(a, b) for a, b in pairwise(points[max(0, k - 1) : k + 2])]
    normals = [(-y, x) for x, y in ways]
    both = (normals[0][0] + normals[-1][0], normals[0][1] + normals[-1][1])
    return _along(points[k], both, 2 * wide / _dot(both, both))


def _between(a: Point, b: Point, at: int, length: int) -> Point:
    """A point so far along a line of a length; its own ends to the tick."""
    if at in (0, length):
        return a if at == 0 else b
    x, y = _along(a, _way(a, b), at)
    return whole(x), whole(y)


def _crossings(line: tuple[Point, Point], length: int, members: Sequence[Member]) -> Iterator[int]:
    (ax, ay), (x, y) = line[0], _way(*line)
    for one in members:
        toward = one.a * x + one.b * y
        if abs(toward) > _PARALLEL:
            at = whole((one.d - one.a * ax - one.b * ay) / toward)
            if 0 < at < length:
                yield at


def _is_beside(start: Point, end: Point, one: Member, reach: int) -> bool:
    """Whether a member runs along a line and stands within `reach` to the left of it."""
    x, y = _way(start, end)
    if abs(one.a * x + one.b * y) > _PARALLEL:
        return False
    left = one.a * -y + one.b * x
    away = (one.d - one.a * start[0] - one.b * start[1]) * left
    return -one.thickness / 2 <= away <= reach + one.thickness / 2
