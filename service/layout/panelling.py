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
    net, own = high - low, seats
    if seats is not None:
        from_start = (at - low if starts_low else high - at for at in seats.stations)
        own = Seats(tuple(sorted(from_start)), seats.room)
    rows = min(
        (_rows(first, net, module) for first in _firsts(net, module, own)),
        key=lambda rows: _weight(rows, net, module, own),
    )
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
    seams = [edge + module.gap // 2 for _, edge in rows[:-1]]
    unborne = 0 if seats is None else sum(not seats.bears(at) for at in seams)
    narrow = sum(wide < min(module.least, net) for wide in (first, far - near))
    return narrow, unborne, len(rows), first != module.cover, abs(first - far + near), -first
