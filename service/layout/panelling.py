"""Rows of sheets that show: by what a sheet covers, ripped on a groove, seams on members (12.1).

All lengths are ticks.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from service.layout.runs import Course

Rows = tuple[tuple[int, int], ...]
"""Rows by their near and far edges, from the edge at which they start."""

MOST_TRIED = 500
"""Widths of a first row that are compared: more than usual sheets have grooves."""


@dataclass(frozen=True, slots=True)
class Module:
    """What sheets have in common: a whole one is `width` wide and covers `cover`, a `gap` between.

    Grooves lie `pitch` apart, 0 where there are none; a row under `least` is shared with another.
    """

    width: int
    cover: int
    gap: int
    pitch: int
    least: int


@dataclass(frozen=True, slots=True)
class Seats:
    """Members that run with the sheets: a seam within `room` of one of the stations is borne."""

    stations: tuple[int, ...]
    room: int

    def bears(self, at: int) -> bool:
        """Whether a member stands behind a seam."""
        place = bisect_left(self.stations, at - self.room)
        return place < len(self.stations) and self.stations[place] <= at + self.room


def panelled(
    low: int, high: int, module: Module, seats: Seats | None, starts_low: bool
) -> tuple[Course, ...]:
    """Rows of whole sheets but for the first and the last, the first as wide as whole beads.

    Of all first rows the one is taken with none narrower than the least, then the fewest seams that
    no member bears, then the fewest rows; a whole first sheet if that does, else outer rows the
    most alike. Without `seats` seams are borne anywhere.
    """
    net, own = high - low, _from_start(low, high, seats, starts_low)
    rows = min(
        (_rows(first, net, module) for first in _firsts(net, module, own)),
        key=lambda rows: _weight(rows, net, module, own),
    )
    return _courses(low, high, rows, module, starts_low)


def panelled_on(
    low: int, high: int, module: Module, seats: Seats | None, starts_low: bool, offcut: int
) -> tuple[Course, ...] | None:
    """Rows that start with an offcut which covers so much; None where one is too narrow (12.4).

    The first is no wider than that: of those that leave no row under the least the one is taken
    with the fewest seams that no member bears, then the fewest rows, then a whole last sheet.
    """
    net, own = high - low, _from_start(low, high, seats, starts_low)
    tried = (_rows(first, net, module) for first in _firsts_of(offcut, net, module))
    able = [rows for rows in tried if not _narrow(rows, net, module)]
    if not able:
        return None

    def weight(rows: Rows) -> tuple[int, ...]:
        (_, first), (near, far) = rows[0], rows[-1]
        return _unborne(rows, module, own), len(rows), far - near != module.width, -first

    return _courses(low, high, min(able, key=weight), module, starts_low)


def _firsts_of(offcut: int, net: int, module: Module) -> Iterator[int]:
    """How wide a first row may be that an offcut yields: all of it, or so that the last is whole.

    Or so that the last is just wide enough.
    """
    if net <= offcut:
        yield net
        return
    yield offcut
    step = module.cover + module.gap
    for between in range(net // step + 1):
        for last in (module.width, module.least):
            first = net - module.gap - between * step - last
            if module.least <= first <= offcut:
                yield first


def _from_start(low: int, high: int, seats: Seats | None, starts_low: bool) -> Seats | None:
    """Members by their stations from where the rows start."""
    if seats is None:
        return None
    from_start = (at - low if starts_low else high - at for at in seats.stations)
    return Seats(tuple(sorted(from_start)), seats.room)


def _courses(
    low: int, high: int, rows: Rows, module: Module, starts_low: bool
) -> tuple[Course, ...]:
    """Rows in stations, by whether they are ripped."""
    return tuple(
        Course(
            k + 1,
            *((low + a, low + b) if starts_low else (high - b, high - a)),
            "none" if _is_whole(b - a, module, last=k == len(rows) - 1) else "end",
            starts_low,
            k == 0,
            k == len(rows) - 1,
        )
        for k, (a, b) in enumerate(rows)
    )


def _is_whole(wide: int, module: Module, *, last: bool) -> bool:
    """Whether a row takes sheets that are not ripped; behind the last no other laps."""
    return wide == module.width or (wide == module.cover and not last)


def _firsts(net: int, module: Module, seats: Seats | None) -> Iterator[int]:
    """Widths that the first row may have: a whole sheet, whole beads, or as members stand."""
    if net <= module.width:
        yield net
        return
    yield module.cover
    if module.pitch:
        yield from islice(range(module.pitch, module.cover, module.pitch), MOST_TRIED)
        return
    near, far = _rows(module.cover, net, module)[-1]
    if far - near < module.least:
        yield (module.cover + far - near) // 2
    for at in islice(() if seats is None else seats.stations, MOST_TRIED):
        if 0 < at - module.gap // 2 < module.cover:
            yield at - module.gap // 2


def _rows(first: int, net: int, module: Module) -> Rows:
    """Rows behind a first one. What is no more than a gap stays open at the wall."""
    rows = [(0, first)]
    while net - rows[-1][1] > module.gap:
        near = rows[-1][1] + module.gap
        rows.append((near, net if net - near <= module.width else near + module.cover))
    return tuple(rows)


def _weight(rows: Rows, net: int, module: Module, seats: Seats | None) -> tuple[int, ...]:
    """How good rows are: the less, the better."""
    (_, first), (near, far) = rows[0], rows[-1]
    return (
        _narrow(rows, net, module),
        _unborne(rows, module, seats),
        len(rows),
        first != module.cover,
        abs(first - far + near),
        -first,
    )


def _narrow(rows: Rows, net: int, module: Module) -> int:
    """How many of the outer rows are under the least."""
    (_, first), (near, far) = rows[0], rows[-1]
    return sum(wide < min(module.least, net) for wide in (first, far - near))


def _unborne(rows: Rows, module: Module, seats: Seats | None) -> int:
    """How many seams no member bears."""
    seams = [edge + module.gap // 2 for _, edge in rows[:-1]]
    return 0 if seats is None else sum(not seats.bears(at) for at in seams)
