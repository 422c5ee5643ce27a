"""How far back pieces that are up are cut where a change opens them (21.4).

All in stations of one frame: u along the pieces. No kind of layer is known here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice, pairwise, product

Span = tuple[int, int]
"""A stretch along a course: low and high station."""

MOST_TRIED = 6
"""Stations that are tried on each side of what is opened, the nearest first."""

MOST_CHOICES = 64
"""Ways to cut the pieces of one course that are tried."""

MOST_WAYS = 400
"""Ways to cut the courses so far that are gone on with, the best first."""


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


@dataclass(frozen=True, slots=True)
class _Choice:
    """One way to cut the opened pieces of a course: what stays of each, and what that costs.

    `cuts` are its new joints, `lost` what goes of its pieces beyond what is opened.
    """

    course: int
    parts: tuple[tuple[str, tuple[Span, ...]], ...]
    cuts: tuple[int, ...]
    lost: int


def parts_that_stay(
    pieces: Sequence[Up],
    opened: Mapping[str, Opened],
    joints: Mapping[int, Sequence[int]],
    seats: Seats,
) -> dict[str, tuple[Span, ...]]:
    """What stays of each piece that is `opened` from station to station: none, one or two parts.

    `joints` are those between pieces that stay, by course. Of all ways of cutting courses back that
    keep the stagger from the joints beside them, whether they were there or are new, the one by
    which least is lost.
    """
    by_course: dict[int, list[Up]] = {}
    for piece in sorted((one for one in pieces if one.name in opened), key=_place):
        by_course.setdefault(piece.course, []).append(piece)
    known = {
        course: _choices(own, opened, joints, seats) for course, own in sorted(by_course.items())
    }
    return {name: spans for one in _least_lost(known, seats) for name, spans in one.parts}


def _least_lost(known: Mapping[int, Sequence[_Choice]], seats: Seats) -> tuple[_Choice, ...]:
    """One choice for each course, apart from each other: what is lost is least in all.

    Course after course, with the best ways to each pair of choices of the last two.
    """
    ways: dict[tuple[_Choice, ...], tuple[int, tuple[_Choice, ...]]] = {(): (0, ())}
    for choices in known.values():
        found: dict[tuple[_Choice, ...], tuple[int, tuple[_Choice, ...]]] = {}
        for last, (lost, way) in ways.items():
            for one in choices:
                if not any(_clash(one, other, seats) for other in last):
                    key, total = (*last[-1:], one), lost + one.lost
                    if key not in found or total < found[key][0]:
                        found[key] = (total, (*way, one))
        ways = dict(sorted(found.items(), key=lambda item: item[1][0])[:MOST_WAYS])
    return min(ways.values(), key=lambda item: item[0])[1]


def _clash(one: _Choice, other: _Choice, seats: Seats) -> bool:
    """Whether joints of two courses are nearer to each other than they may be."""
    least = {1: seats.stagger, 2: seats.repeat}.get(one.course - other.course, 0)
    return any(abs(a - b) < least for a in one.cuts for b in other.cuts)


def _choices(
    own: Sequence[Up],
    opened: Mapping[str, Opened],
    joints: Mapping[int, Sequence[int]],
    seats: Seats,
) -> list[_Choice]:
    """The ways to cut the opened pieces of a course, least lost first; last of all to no joint."""
    each = []
    for piece in own:
        one = opened[piece.name]
        lefts = _stations(piece, one.low, one.off, joints, seats, up=False)
        rights = _stations(piece, one.high, one.off, joints, seats, up=True)
        each.append([(piece, left, right) for left in lefts for right in rights])
    found = [_choice(picked, opened) for picked in islice(product(*each), MOST_CHOICES)]
    bare = _choice([(piece, piece.low, piece.high) for piece in own], opened)
    return sorted([*found, bare], key=lambda one: one.lost)


def _choice(picked: Sequence[tuple[Up, int, int]], opened: Mapping[str, Opened]) -> _Choice:
    parts, cuts, lost = [], [], 0
    for piece, left, right in picked:
        spans = ((piece.low, left), (right, piece.high))
        parts.append((piece.name, tuple((a, b) for a, b in spans if a < b)))
        cuts += [at for at in (left, right) if piece.low < at < piece.high]
        one = opened[piece.name]
        lost += max(0, one.low - left) + max(0, right - one.high)
    return _Choice(picked[0][0].course, tuple(parts), tuple(cuts), lost)


def _place(piece: Up) -> tuple[int, int]:
    return piece.course, piece.low


def _stations(
    piece: Up,
    at: int,
    off: int,
    joints: Mapping[int, Sequence[int]],
    seats: Seats,
    *,
    up: bool,
) -> list[int]:
    """Where a piece may be cut on one side of what is opened, the nearest first.

    Apart from the joints beside it that stay; last of all its own end, where all of it goes.
    """
    end = piece.high if up else piece.low
    way = 1 if up else -1
    tried = [
        one
        for one in sorted(seats.stations(piece.course), key=lambda one: one * way)
        if (one - at) * way >= off
        and (end - one) * way >= seats.least
        and not _is_near(piece, one, joints, seats)
    ]
    return [*tried[:MOST_TRIED], end]


def _is_near(piece: Up, at: int, joints: Mapping[int, Sequence[int]], seats: Seats) -> bool:
    """Whether a joint of a course beside it that stays is nearer to a cut than it may be."""
    return any(
        abs(at - other) < least
        for apart, least in ((1, seats.stagger), (2, seats.repeat))
        for course in (piece.course - apart, piece.course + apart)
        for other in joints.get(course, ())
    )


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
