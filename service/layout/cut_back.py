"""How far back pieces that are up are cut where a change opens them (21.4).

All in stations of one frame: u along the pieces. No kind of layer is known here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

Span = tuple[int, int]
"""A stretch along a course: low and high station."""

MOST_TRIED = 8
"""Stations that are tried on each side of what is opened, the nearest first."""


@dataclass(frozen=True, slots=True)
class Up:
    """A piece that is up: its name, course, and from where to where it goes."""

    name: str
    course: int
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Opened:
    """From where to where a piece is opened, and how far off a cut keeps from that."""

    low: int
    high: int
    off: int


@dataclass(frozen=True, slots=True)
class Seats:
    """Where a course may be cut, and what its joints must keep.

    `stations` are the bearings of each course, `least` is the shortest part of a piece that may
    stay, `stagger` and `repeat` how far joints of courses one and two apart are from each other.
    """

    stations: Callable[[int], Sequence[int]]
    least: int
    stagger: int
    repeat: int


def parts_that_stay(
    pieces: Sequence[Up],
    opened: Mapping[str, Opened],
    joints: Mapping[int, Sequence[int]],
    seats: Seats,
) -> dict[str, tuple[Span, ...]]:
    """What stays of each piece that is `opened` from station to station: none, one or two parts.

    `joints` are those between pieces that stay, by course. Courses are cut one after the other:
    each as near to what is opened as keeps the stagger from the joints beside it, whether they
    were there or are new.
    """
    known = {course: list(own) for course, own in joints.items()}
    found: dict[str, tuple[Span, ...]] = {}
    for piece in sorted((one for one in pieces if one.name in opened), key=_place):
        one = opened[piece.name]
        left = _cut(piece, one.low, one.off, known, seats, up=False)
        right = _cut(piece, one.high, one.off, known, seats, up=True)
        ends = [at for at in (left, right) if piece.low < at < piece.high]
        known.setdefault(piece.course, []).extend(ends)
        found[piece.name] = tuple(
            (a, b) for a, b in ((piece.low, left), (right, piece.high)) if a < b
        )
    return found


def _place(piece: Up) -> tuple[int, int]:
    return piece.course, piece.low


def _cut(
    piece: Up,
    at: int,
    off: int,
    joints: Mapping[int, Sequence[int]],
    seats: Seats,
    *,
    up: bool,
) -> int:
    """Where a piece is cut on one side of what is opened; its own end where all of it goes."""
    end = piece.high if up else piece.low
    way = 1 if up else -1
    tried = [
        one
        for one in sorted(seats.stations(piece.course), key=lambda one: one * way)
        if (one - at) * way >= off and (end - one) * way >= seats.least
    ][:MOST_TRIED]
    return min([*tried, end], key=lambda one: (_breaks(piece, one, end, joints, seats), one * way))


def _breaks(piece: Up, at: int, end: int, joints: Mapping[int, Sequence[int]], seats: Seats) -> int:
    """How many joints beside a cut are nearer than they may be; where the piece ends is no cut."""
    if at == end:
        return 0
    near = sum(
        abs(at - other) < least
        for apart, least in ((1, seats.stagger), (2, seats.repeat))
        for course in (piece.course - apart, piece.course + apart)
        for other in joints.get(course, ())
    )
    return near


def joints_between(pieces: Iterable[Up], gap: int) -> dict[int, list[int]]:
    """Where pieces of a course meet end to end, by course."""
    by_course: dict[int, list[Up]] = {}
    for piece in pieces:
        by_course.setdefault(piece.course, []).append(piece)
    return {
        course: [
            (a.high + b.low) // 2
            for a, b in pairwise(sorted(own, key=_place))
            if abs(b.low - a.high) <= gap
        ]
        for course, own in by_course.items()
    }
