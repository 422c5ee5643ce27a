"""Pieces of courses that are up where a change opens them, and where they may be cut (21.4).

All in stations of one frame: u along the pieces. No kind of layer is known here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

Span = tuple[int, int]
"""A stretch along a course: low and high station."""


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
    `covered` is what of each course there is to be, and `longest` the longest piece that comes for
    it; None where pieces of any length can be had.
    """

    stations: Callable[[int], Sequence[int]]
    least: int
    stagger: int
    repeat: int
    covered: Callable[[int], Sequence[Span]] = lambda _: ()
    longest: int | None = None


def place_of(piece: Up) -> tuple[int, int]:
    """Where a piece comes among those of its layer."""
    return piece.course, piece.low


def is_near(course: int, at: int, joints: Mapping[int, Sequence[int]], seats: Seats) -> bool:
    """Whether a joint of a course beside it that stays is nearer to a cut than it may be."""
    return any(
        abs(at - other) < least
        for apart, least in ((1, seats.stagger), (2, seats.repeat))
        for beside in (course - apart, course + apart)
        for other in joints.get(beside, ())
    )


def joints_between(
    pieces: Iterable[Up], gap: int, opened: Mapping[str, Opened] = MappingProxyType({})
) -> dict[int, list[int]]:
    """Where pieces of a course meet end to end, by course; not where both are `opened` there."""
    by_course: dict[int, list[Up]] = {}
    for piece in pieces:
        by_course.setdefault(piece.course, []).append(piece)

    def opens(piece: Up, at: int) -> bool:
        one = opened.get(piece.name)
        return one is not None and one.low - gap <= at <= one.high + gap

    return {
        course: [
            (a.high + b.low) // 2
            for a, b in pairwise(sorted(own, key=place_of))
            if abs(b.low - a.high) <= gap and not (opens(a, a.high) and opens(b, b.low))
        ]
        for course, own in by_course.items()
    }
