"""How far back pieces that are up are cut where a change opens them (21.4).

All in stations of one frame: u along the pieces. No kind of layer is known here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice, product
from typing import TypeAlias

from service.layout.pieces_up import Opened, Seats, Span, Up, is_near, place_of
from service.units.ticks import INCH

MOST_TRIED = 6
"""Stations that are tried on each side of what is opened, the nearest first."""

MOST_CHOICES = 64
"""Ways to cut the pieces of one course that are tried."""

MOST_WAYS = 400
"""Ways to cut the courses so far that are gone on with, the best first."""

MOST_FILLED = 6
"""Ways to joint what is to be filled of a course that are tried with each way to cut it."""

NO_GAP = INCH // 4
"""What is less is no piece, but the gap that boards leave at a wall."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to cut the opened pieces of a course: what stays of each, and what that costs.

    `cuts` are its new joints, `lost` is what goes of its pieces. `unfilled` is
    what of the course no pieces can be had for, whose joints would be where they may be.
    """

    course: int
    parts: tuple[tuple[str, tuple[Span, ...]], ...]
    cuts: tuple[int, ...]
    lost: int
    unfilled: tuple[Span, ...] = ()

    @property
    def cost(self) -> tuple[int, int]:
        """What counts first is that it can be filled."""
        return len(self.unfilled), self.lost


_Sum: TypeAlias = tuple[tuple[int, int], tuple[Choice, ...]]
"""What choices for the courses so far cost, and these."""


@dataclass(frozen=True, slots=True)
class Way:
    """A choice for each course, with what it costs in all."""

    choices: tuple[Choice, ...]

    @property
    def cost(self) -> tuple[int, int]:
        """How much cannot be filled, then what is lost."""
        return sum(len(one.unfilled) for one in self.choices), sum(one.lost for one in self.choices)

    @property
    def parts(self) -> dict[str, tuple[Span, ...]]:
        """What stays of each piece."""
        return {name: spans for one in self.choices for name, spans in one.parts}


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
    return way_of(pieces, opened, joints, seats).parts


def way_of(
    pieces: Sequence[Up],
    opened: Mapping[str, Opened],
    joints: Mapping[int, Sequence[int]],
    seats: Seats,
) -> Way:
    """The way to cut back what is opened by which all can be filled and least is lost."""
    courses = sorted({one.course for one in pieces if one.name in opened})
    known = [
        _choices(sorted((one for one in pieces if one.course == course), key=place_of),
                 opened, joints, seats)
        for course in courses
    ]  # fmt: skip
    return Way(_least_lost(known, seats))


def _least_lost(known: Iterable[Sequence[Choice]], seats: Seats) -> tuple[Choice, ...]:
    """One choice for each course, apart from each other: what is lost is least in all.

    Course after course, with the best ways to each pair of choices of the last two.
    """
    ways: dict[tuple[Choice, ...], _Sum] = {(): ((0, 0), ())}
    for choices in known:
        found: dict[tuple[Choice, ...], _Sum] = {}
        for last, ((unfilled, lost), way) in ways.items():
            for one in choices:
                if not any(_clash(one, other, seats) for other in last):
                    key, total = (*last[-1:], one), (unfilled + one.cost[0], lost + one.lost)
                    if key not in found or total < found[key][0]:
                        found[key] = (total, (*way, one))
        ways = dict(sorted(found.items(), key=lambda item: item[1][0])[:MOST_WAYS])
    return min(ways.values(), key=lambda item: item[0])[1]


def _clash(one: Choice, other: Choice, seats: Seats) -> bool:
    """Whether joints of two courses are nearer to each other than they may be."""
    least = {1: seats.stagger, 2: seats.repeat}.get(one.course - other.course, 0)
    return any(abs(a - b) < least for a in one.cuts for b in other.cuts)


def _choices(
    all_up: Sequence[Up],
    opened: Mapping[str, Opened],
    joints: Mapping[int, Sequence[int]],
    seats: Seats,
) -> list[Choice]:
    """The ways to cut the opened pieces of a course, best first; last of all to no joint."""
    own = [one for one in all_up if one.name in opened]
    stay = [(one.low, one.high) for one in all_up if one.name not in opened]
    each = []
    for piece in own:
        one = opened[piece.name]
        lefts = _stations(piece, one.low, one.off, joints, seats, up=False)
        rights = _stations(piece, one.high, one.off, joints, seats, up=True)
        each.append([(piece, left, right) for left in lefts for right in rights])
    bare = _choice([(piece, piece.low, piece.high) for piece in own])
    cut = [_choice(picked) for picked in islice(product(*each), MOST_CHOICES)]
    found = sorted(
        (way for one in (*cut, bare) for way in _filled(one, stay, joints, seats)),
        key=lambda one: one.cost,
    )[:MOST_CHOICES]
    return (
        found if bare in found else [*found, replace(bare, unfilled=_too_long(bare, stay, seats))]
    )


def _choice(picked: Sequence[tuple[Up, int, int]]) -> Choice:
    parts, cuts, lost = [], [], 0
    for piece, left, right in picked:
        spans = ((piece.low, left), (right, piece.high))
        parts.append((piece.name, tuple((a, b) for a, b in spans if a < b)))
        cuts += [at for at in (left, right) if piece.low < at < piece.high]
        lost += min(right, piece.high) - max(left, piece.low)
    return Choice(picked[0][0].course, tuple(parts), tuple(cuts), lost)


def _filled(
    one: Choice, stay: Sequence[Span], joints: Mapping[int, Sequence[int]], seats: Seats
) -> Iterator[Choice]:
    """A way to cut a course with the joints of what fills it, where one piece is not enough."""
    longest = seats.longest
    if longest is None:
        yield one
        return
    gaps = _too_long(one, stay, seats)
    free = [at for at in seats.stations(one.course) if not is_near(one.course, at, joints, seats)]
    each = [tuple(islice(_jointed(gap, free, seats.least, longest), MOST_FILLED)) for gap in gaps]
    if not all(each):
        yield replace(
            one, unfilled=tuple(gap for gap, own in zip(gaps, each, strict=True) if not own)
        )
        return
    for picked in islice(product(*each), MOST_FILLED):
        yield replace(one, cuts=(*one.cuts, *(at for own in picked for at in own)))


def _gaps(one: Choice, stay: Sequence[Span], seats: Seats) -> tuple[Span, ...]:
    """What is to be filled of a course."""
    left = sorted([*stay, *(span for _, spans in one.parts for span in spans)])
    found = []
    for low, high in seats.covered(one.course):
        at = low
        for a, b in [*left, (high, high)]:
            if min(a, high) - at > NO_GAP:
                found.append((at, min(a, high)))
            at = max(at, b)
    return tuple(found)


def _too_long(one: Choice, stay: Sequence[Span], seats: Seats) -> tuple[Span, ...]:
    """What is to be filled that no single piece is long enough for."""
    gaps = _gaps(one, stay, seats)
    return tuple(
        gap for gap in gaps if seats.longest is not None and gap[1] - gap[0] > seats.longest
    )


def _jointed(gap: Span, free: Sequence[int], least: int, longest: int) -> Iterator[tuple[int, ...]]:
    """Joints by which pieces fill a stretch, the farthest ones first."""
    low, high = gap
    if high - low <= longest:
        yield ()
        return
    for at in reversed(free):
        if least <= at - low <= longest and high - at >= least:
            for rest in _jointed((at, high), free, least, longest):
                yield (at, *rest)


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
        and not is_near(piece.course, one, joints, seats)
    ]
    return [*tried[:MOST_TRIED], end]
