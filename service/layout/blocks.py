"""Rows of blocks between members, as boards that run with the members cross them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from service.units.ticks import INCH, down, nearest, up, whole

FROM_END = 3 * INCH // 4
"""Half a block of 1-1/2 in: the first and the last row stand against the ends (15.2)."""


def tape_marks(mark: int, fine: int) -> tuple[int, ...]:
    """Marks of the tape by which rows may stand apart, the coarsest first; none of 0 (ticks).

    Halves and quarters of the mark are none where lengths are not cut to them (`fine`), as of 5 mm.
    """
    parts = [mark // k for k in (1, 2, 4) if mark % (k * fine) == 0]
    return tuple(dict.fromkeys((mark, *parts, min(mark, fine)))) if mark else ()


def block_rows(
    extent: int, spacing: int, *, gaps: tuple[int, int] = (0, 0), marks: Iterable[int] = ()
) -> tuple[int, ...]:
    """Centres of rows of blocks over `extent`, as few as at most `spacing` apart can be (15.2).

    The first and the last stand against the ends; where a gap there is wider than half a block,
    boards end on their middles. Those between stand equally far apart by the first of `marks`
    (steps of a tape, the coarsest first) by which they can; where none is, all are evenly spread.
    All are ticks.
    """
    low, high = max(FROM_END, gaps[0]), extent - max(FROM_END, gaps[1])
    if high <= low:
        return (extent // 2,)
    bays = -(-(high - low) // spacing)
    found = (row for mark in marks for row in _by_tape(low, high, bays, spacing, mark))
    between = next(found, None)
    if between is None:
        between = [low + whole(Fraction((high - low) * k, bays)) for k in range(1, bays)]
    return (low, *between, high)


def _by_tape(low: int, high: int, bays: int, spacing: int, mark: int) -> Iterator[list[int]]:
    """Ways to set the rows between two ends at equal steps of a tape, the best first.

    Their steps are as near to an even spread as marks are. The tape is hooked at the wall, so that
    each row is as many steps from it, where that leaves no bay over `spacing` or under half a step;
    else both end bays are alike, to the mark.
    """
    even = (high - low) // bays
    for step in dict.fromkeys((down(even, mark), up(even, mark))):
        middle = nearest((low + high - step * (bays - 2)) // 2, mark)
        for first in (step, middle) if bays > 1 else ():
            ends = first - low, high - first - step * (bays - 2)
            if step <= spacing and step <= 2 * min(ends) and max(ends) <= spacing:
                yield [first + step * k for k in range(bays - 1)]
