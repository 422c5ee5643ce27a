"""Stations worth trying where joints may be anywhere: few enough to weigh every piece between.

Pieces are weighed between any two stations of a run, so their number grows with the square of the
stations, and with every run that lies otherwise.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from math import isqrt

from service.units.ticks import INCH

GRID = 8 * INCH

MOST_STATIONS, FEWEST_STATIONS = 240, 24
"""Stations of one run at most, and how many it may always have."""

FEW_STATIONS = 28
"""Few stations of one run, that are tried by themselves first where joints have a price."""

MOST_PIECES = 200_000
"""Pieces between stations, over all runs that differ."""

CHAINED = 4
"""Of so many stations of a run one may end a stick that began in the run before."""

BEST_STICKS = 3
"""Lengths of stick, the cheapest by the foot, whose ends are followed from run to run."""

MOST_CHAINED = 60
"""Runs that they are followed through at most."""

MOST_LISTED = 8 * MOST_STATIONS
"""Stations that are listed before the best of them are chosen."""


def most_stations(different: int) -> int:
    """How many stations each of so many `different` runs may have."""
    each = isqrt(2 * MOST_PIECES // max(1, different))
    return min(MOST_STATIONS, max(FEWEST_STATIONS, each))


def free_stations(length: int, sticks: Sequence[int], most: int) -> set[int]:
    """Distances from the low end of a run of `length`, at most `most`; all in ticks.

    Whole sticks from either end, sticks of two lengths, and a grid fine enough to stagger on.
    Where these are too many, half are the grid and the others whole sticks first.
    """
    ranges = [range(first + stick, length, stick) for first in (0, *sticks) for stick in sticks]
    grid = range(step := max(GRID, length // MOST_STATIONS), length, step)
    if len(grid) + 2 * _count(ranges) <= MOST_LISTED:
        found = {*grid, *_from_both_ends(ranges, length)}
        if len(found) <= most:
            return found
    found = set(range(step := max(GRID, -(-2 * length // most)), length, step))
    for at in _from_both_ends(ranges, length):
        if len(found) >= most:
            break
        found.add(at)
    return found


def chained_stations(
    length: int, sticks: Sequence[int], kerf: int, least: int, most: int
) -> set[int]:
    """Distances from either end at which sticks of one length follow each other from run to run.

    As runs of `length` are laid as you go: what is left of the last stick of a run begins the next
    one, if it is as long as `least`. Those of the first runs, at most `most`; all in ticks.
    """
    found = set[int]()
    for level in zip(*(_as_you_go(length, stick, kerf, least) for stick in sticks), strict=True):
        ends = set(chain.from_iterable(level))
        more = found | ends | {length - at for at in ends}
        if len(more) > most:
            break
        found = more
    return found


def _as_you_go(length: int, stick: int, kerf: int, least: int) -> Iterator[range]:
    """Where sticks end in the runs of one length, run by run."""
    begins = stick
    for _ in range(MOST_CHAINED):
        yield range(begins, length, stick)
        left = begins - length - kerf if begins >= length else (begins - length) % stick - kerf
        begins = left if left >= least else stick


def _count(ranges: Iterable[range]) -> int:
    return sum(len(one) for one in ranges)


def _from_both_ends(ranges: Iterable[range], length: int) -> Iterable[int]:
    """Each station from the low end, and as far from the high end."""
    return (at for one in chain.from_iterable(ranges) for at in (one, length - one))
