"""How far a change opens pieces that are up beside those that it cuts: as few as it takes (21.1).

All in stations of one frame: u along the pieces. No kind of layer is known here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from service.layout.cut_back import MOST_CHOICES, Way, way_of
from service.layout.pieces_up import Opened, Seats, Span, Up, joints_between

NEXT_BUT_ONE = 2
"""Joints of courses so far apart keep off each other yet."""

MOST_WIDENED = 4
"""How often joints beside what cannot be filled are given up, so that it can."""


def cut_back(
    pieces: Sequence[Up], opened: Mapping[str, Opened], seats: Seats, snapped: int
) -> dict[str, tuple[Span, ...]]:
    """What stays of each piece that is opened, and of those beside it that must be opened too.

    Where what is to be filled would have joints nowhere, for those of courses beside it that stay,
    as few of these are given up as it takes: their pieces are cut back as well. Pieces that are no
    farther apart than `snapped` meet.
    """
    best, wide = _best(pieces, opened, seats, snapped), opened
    for _ in range(MOST_WIDENED):
        tried = [] if not best.cost[0] else list(_wider(best, pieces, wide, seats, snapped))
        found = [(_best(pieces, one, seats, snapped), one) for one in tried]
        if not found:
            break
        best, wide = min([(best, wide), *found], key=lambda way: way[0].cost)
        if wide not in tried:
            break
    return best.parts


def _best(pieces: Sequence[Up], opened: Mapping[str, Opened], seats: Seats, snapped: int) -> Way:
    return way_of(pieces, opened, joints_between(pieces, snapped, opened), seats)


def _wider(
    way: Way, pieces: Sequence[Up], opened: Mapping[str, Opened], seats: Seats, snapped: int
) -> Iterator[Mapping[str, Opened]]:
    """What is opened with one more joint given up beside what cannot be filled, or with all."""
    places = {
        (course, at)
        for one in way.choices
        for low, high in one.unfilled
        for course, own in joints_between(pieces, snapped, opened).items()
        for at in own
        if abs(course - one.course) <= NEXT_BUT_ONE
        and low - seats.stagger < at < high + seats.stagger
    }
    each = [_given_up(course, at, pieces, snapped) for course, at in sorted(places)]
    for more in [*each[:MOST_CHOICES], {name: one for own in each for name, one in own.items()}]:
        yield {**opened, **{name: _both(opened.get(name), one) for name, one in more.items()}}


def _given_up(course: int, at: int, pieces: Sequence[Up], snapped: int) -> dict[str, Opened]:
    """The two pieces that meet at a joint, opened there: neither may be cut at it again."""
    return {
        one.name: Opened(one.low, one.low, 1) if one.low >= at - snapped
        else Opened(one.high, one.high, 1)
        for one in pieces
        if one.course == course and (abs(one.low - at) <= snapped or abs(one.high - at) <= snapped)
    }  # fmt: skip


def _both(one: Opened | None, other: Opened) -> Opened:
    if one is None:
        return other
    return Opened(min(one.low, other.low), max(one.high, other.high), max(one.off, other.off))
