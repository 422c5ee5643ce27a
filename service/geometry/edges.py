"""Edges of an outline that a request says something of, and what is laid inside them.

An edge is known again by where it lies: rings lose corners that lie straight, and layers behind
leave only parts of an outline.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot
from typing import Final, Literal, TypeAlias

from service.geometry.frame import Frame
from service.geometry.offsets import less_holes, moved_in, passed_over, shrunk, stretched
from service.geometry.rings import Line, Point, Polygon, Region, Ring
from service.units.ticks import whole

What: TypeAlias = Literal[
    "covered", "bare", "tight", "mitre", "beam",
    "inside_first", "inside_second", "outside_lapping", "outside_butting", "outside_mitred",
    "overhang",
]  # fmt: skip
"""What an edge is; at a `beam` boards reach under skins, or a flange, and have no gap."""

CORNERS: Final[Mapping[str, int]] = {
    "inside_second": 1, "outside_butting": 0, "outside_lapping": -1, "outside_mitred": -1,
}  # fmt: skip
"""Corners at which a layer keeps off an edge by the thickness of the other wall: how many times.

Below 0 it reaches beyond the edge (3.16).
"""

_OFF = 4
"""Ticks that snapping can put corners off the line on which they lay (`layout.runs.SNAPPED`)."""


@dataclass(frozen=True, slots=True)
class Edge:
    """What a request says of one edge: its ends in true size, facing the finished side.

    From its start to its end the surface lies at the left hand. `number` is that of its first
    corner as sent, from 0 on. `what` and `gap` (ticks) are None where they were not sent; of a
    mitre the gap is that of the whole joint. `thickness` is that of the other wall at a corner,
    `turn` by how many degrees the walls turn there (square where it is None), `over` how far an
    overhang reaches beyond the edge. `beside` is what stands there, for the drawing.
    """

    number: int
    start: Point
    end: Point
    what: What | None = None
    gap: int | None = None
    pointer: str = ""
    beside: str | None = None
    thickness: int | None = None
    over: int | None = None
    turn: float | None = None

    @property
    def is_told(self) -> bool:
        """Whether anything was said by which boards are laid."""
        return self.what is not None or self.gap is not None

    def within(self, frame: Frame) -> Edge:
        """The edge in stations."""
        return replace(self, start=frame.to(self.start), end=frame.to(self.end))


@dataclass(frozen=True, slots=True)
class Side:
    """A side of a ring, or a part of one, with the edge on which it lies; None where none is."""

    start: Point
    end: Point
    edge: Edge | None = None

    @property
    def size(self) -> float:
        """How long it is, ticks."""
        return _size((self.start, self.end))

    def off(self, point: Point) -> float:
        """How far a point lies from the side, ticks."""
        return _off(point, (self.start, self.end))


def sides_of(ring: Ring, edges: Sequence[Edge]) -> tuple[Side, ...]:
    """Every side of a ring in order, parted where an edge ends on it."""
    whole_edges = {(one.start, one.end): one for one in edges}
    found: list[Side] = []
    for line in zip(ring, ring[1:] + ring[:1], strict=True):
        own = whole_edges.get(line)
        found += [Side(*line, own)] if own else _on_edges(line, edges)
    return tuple(found)


def _on_edges(line: Line, edges: Sequence[Edge]) -> list[Side]:
    """A line that is no whole edge, in its parts; it lies where edges do that reach over it."""
    on = [
        one
        for one in edges
        if _meet(line, (one.start, one.end)) and _lies_on(line, (one.start, one.end))
    ]
    return _parted(line, on) if on else [Side(*line)]


def lie_on_each_other(one: Line, other: Line) -> bool:
    """Whether two lines lie on each other over more than what snapping moves."""
    return _meet(one, other) and _lies_on(one, other)


def _meet(one: Line, other: Line) -> bool:
    """Whether the boxes round two lines meet, but for what snapping moves."""
    return all(
        min(one[0][k], one[1][k]) - _OFF <= max(other[0][k], other[1][k])
        and min(other[0][k], other[1][k]) - _OFF <= max(one[0][k], one[1][k])
        for k in (0, 1)
    )


def _parted(line: Line, on: Sequence[Edge]) -> list[Side]:
    """A line in parts, each on one of the edges or on none of them."""
    sides: list[Side] = []
    (here, end), reached = line, 0.0
    for low, high, edge in sorted((_span(one, line) for one in on), key=lambda span: span[0]):
        first = _at(line, low) if low > reached + _OFF else here
        last = _at(line, high) if high < _size(line) - _OFF else end
        sides += [Side(here, first)] if here != first else []
        sides.append(Side(first, last, edge))
        here, reached = last, high
    return sides if here == end else [*sides, Side(here, end)]


def _span(edge: Edge, line: Line) -> tuple[float, float, Edge]:
    """From where to where along a line an edge lies."""
    low, high = sorted((_along(edge.start, line), _along(edge.end, line)))
    return low, high, edge


def _lies_on(one: Line, other: Line) -> bool:
    """Whether two lines lie on each other over more than what snapping moves."""
    short, long = sorted((one, other), key=_size)
    if max(_beside(point, long) for point in short) > _OFF:
        return False
    low, high = sorted(_along(point, long) for point in short)
    return min(high, _size(long)) - max(low, 0) > _OFF


def _size(line: Line) -> float:
    (ax, ay), (bx, by) = line
    return hypot(bx - ax, by - ay)


def _along(point: Point, line: Line) -> float:
    """How far along a line the foot of a point lies, from its start."""
    (ax, ay), (bx, by) = line
    return ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / _size(line)


def _beside(point: Point, line: Line) -> float:
    """How far a point lies off the line through two others."""
    (ax, ay), (bx, by) = line
    return abs((bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)) / _size(line)


def _off(point: Point, line: Line) -> float:
    foot = min(max(_along(point, line), 0), _size(line))
    (ax, ay), (bx, by) = line
    share = foot / _size(line)
    return hypot(point[0] - ax - (bx - ax) * share, point[1] - ay - (by - ay) * share)


def _at(line: Line, along: float) -> Point:
    (ax, ay), (bx, by) = line
    share = along / _size(line)
    return whole(ax + (bx - ax) * share), whole(ay + (by - ay) * share)


@dataclass(frozen=True, slots=True)
class Margins:
    """How far a layer keeps off the walls of a surface, ticks: `usual`, but at edges of `told`.

    Under 0 it reaches beyond an edge by so much.
    """

    usual: int
    told: tuple[tuple[Edge, int], ...] = ()

    @property
    def edges(self) -> tuple[Edge, ...]:
        """The edges that have a width of their own."""
        return tuple(edge for edge, _ in self.told)

    def at(self, edge: Edge | None) -> int:
        """The width at an edge; at any other wall the usual one."""
        number = None if edge is None else edge.number
        return next((width for one, width in self.told if one.number == number), self.usual)

    def less(self, by: int) -> Margins:
        """Each width less so much; none falls under 0 by it."""
        told = tuple((edge, max(min(0, width), width - by)) for edge, width in self.told)
        return Margins(max(0, self.usual - by), told)

    def inset(self, parts: Region) -> Region:
        """What is left of `parts` inside all widths, corners mitred; it may fall apart."""
        if not self.told:
            return moved_in(parts, self.usual)
        return tuple(left for part in parts for left in self._inset(part))

    def _inset(self, part: Polygon) -> Region:
        ring, widths = self._widths(part)
        if min(widths) < 0:
            ring = stretched(ring, [max(0, -width) for width in widths])
            widths = [max(0, width) for width in widths]
            left = shrunk(ring, widths)
        else:
            left = shrunk(part.outer, widths[0]) if len(set(widths)) == 1 else shrunk(ring, widths)
        return less_holes(left, part.holes, self.usual)

    def _widths(self, part: Polygon) -> tuple[Ring, list[int]]:
        sides = sides_of(part.outer, self.edges)
        return tuple(side.start for side in sides), [self.at(side.edge) for side in sides]

    def passed_over(self, parts: Region) -> Line | None:
        """A side of `parts` so short that the wider gap beside it passes over it; None if none."""
        for part in parts if self.told else ():
            ring, widths = self._widths(part)
            widths = [max(0, width) for width in widths]
            number = passed_over(ring, widths)
            if number is not None:
                return ring[number], ring[(number + 1) % len(ring)]
        return None
