"""What holds the two edges of a board at a station: its own tongue, and the board before it (18.3).

A line of its outline that leans more across the boards than along them is an end, and no edge.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from service.geometry.rings import Line, Point, Region
from service.layout.runs import NOTHING, SNAPPED, Course
from service.products.kinds.boarding.records import BoardPiece, Boards
from service.units.once import once


class Bare(NamedTuple):
    """Which edges of a board nothing holds at a station: the starting one, the one with the tongue.

    Its starting edge needs the tongue of a board before it, which a wall, a beam, an opening, a
    breaker or a border takes away; its other edge needs its own.
    """

    near: bool
    far: bool


HELD = Bare(near=False, far=False)
"""Both edges are held."""


class _Edge(NamedTuple):
    """A line of an outline from left to right, stations across told from the start."""

    left: Point
    right: Point

    @property
    def is_end(self) -> bool:
        """Whether it leans more across than along."""
        return abs(self.right[1] - self.left[1]) >= self.right[0] - self.left[0]

    def spans(self, station: int) -> bool:
        """Whether it lies beside a station."""
        return self.left[0] - SNAPPED <= station <= self.right[0] + SNAPPED

    def at(self, station: int) -> int:
        """Where it lies across at a station."""
        (a, low), (b, high) = self
        return low + (high - low) * (min(max(station, a), b) - a) // (b - a)


class HeldEdges:
    """The edges of all boards of a layer."""

    def __init__(self, boards: Boards) -> None:
        self._boards = boards

    def bare(self, piece: BoardPiece, stations: Sequence[int]) -> Mapping[Bare, int]:
        """At how many of the stations along a piece nothing holds which of its edges."""
        if self.are_held(piece):
            return {HELD: len(stations)}
        course, before = self._boards.course(piece.run), self._before(piece)
        beside = sorted(stations)
        near, far = (list(_edges(piece.shape, course, beside, far=far)) for far in (False, True))
        return Counter(
            Bare(
                before is not None and _is_open(near, course, at, before),
                piece.tongue_lost or _is_sawn(far, course, at),
            )
            for at in stations
        )

    def are_held(self, piece: BoardPiece) -> bool:
        """Whether both edges are held all along: of a whole board beside others, or a first one."""
        course, (shape, *others) = self._boards.course(piece.run), piece.shape
        low, high, *across = shape.box
        if others or piece.tongue_lost or across != [course.low, course.high] or not shape.is_box:
            return False
        before = self._before(piece)
        return before is None or any(a <= low and high <= b for a, b in before)

    def _before(self, piece: BoardPiece) -> list[tuple[int, int]] | None:
        """From where to where boards hold the line at which a course starts; None of a first one.

        Those that are laid and those that are up already.
        """
        course = self._boards.course(piece.run)
        if course.first:
            return None
        number = course.number - 1
        return [*self._joints.get(number, ()), *self._boards.beside.spans.get(number, ())]

    @once
    def _joints(self) -> dict[int, list[tuple[int, int]]]:
        """Of each course from where to where its boards reach the line at which the next starts."""
        found: dict[int, list[tuple[int, int]]] = {}
        for run in self._boards.laid.runs:
            course = self._boards.course(run)
            if run.polygon.is_plain:
                low, high, *sides = run.polygon.box
                line = course.high if course.starts_low else course.low
                if abs(sides[course.starts_low] - line) <= NOTHING:
                    found.setdefault(run.course, []).append((low, high))
                continue
            line = _lines(course)[1]
            found.setdefault(run.course, []).extend(
                (min(u, u2), max(u, u2))
                for (u, v), (u2, v2) in _facing((run.polygon,), course, far=True)
                if max(abs(v - line), abs(v2 - line)) <= NOTHING
            )
        return found


def _lines(course: Course) -> tuple[int, int]:
    """The lines at which a course starts and ends, across from the start."""
    return (course.low, course.high) if course.starts_low else (-course.high, -course.low)


def _edges(shape: Region, course: Course, stations: Sequence[int], *, far: bool) -> Iterator[_Edge]:
    """What of the outlines of a shape faces the start, or away from it, beside some stations."""
    for ends in _facing(shape, course, far=far):
        low, high = sorted(ends)
        k = bisect_left(stations, low[0] - SNAPPED)
        if k < len(stations) and stations[k] <= high[0] + SNAPPED:
            yield _Edge(low, high)


def _facing(shape: Region, course: Course, *, far: bool) -> Iterator[Line]:
    """The edges of the outlines of a shape that face the start, or away from it.

    Across from the start, as their course is seen.
    """
    way = 1 if course.starts_low else -1
    for ring in (polygon.outer for polygon in shape):
        for (u, v), (u2, v2) in zip(ring, ring[1:] + ring[:1], strict=True):
            if (u2 - u) * way * (-1 if far else 1) > 0:
                yield (u, way * v), (u2, way * v2)


def _is_open(
    edges: Sequence[_Edge], course: Course, at: int, before: Sequence[tuple[int, int]]
) -> bool:
    """Whether a board has an edge towards the start at a station, and no board before it."""
    found = min((one for one in edges if one.spans(at)), key=lambda one: one.at(at), default=None)
    if found is None or found.is_end:
        return False
    if found.at(at) - _lines(course)[0] > NOTHING:
        return True
    return not any(low - SNAPPED <= at <= high + SNAPPED for low, high in before)


def _is_sawn(edges: Sequence[_Edge], course: Course, at: int) -> bool:
    """Whether a board's far edge at a station is not that of its course: its tongue is gone."""
    found = max((one for one in edges if one.spans(at)), key=lambda one: one.at(at), default=None)
    return found is not None and not found.is_end and _lines(course)[1] - found.at(at) > NOTHING
