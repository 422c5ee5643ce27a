"""Prices by the length that a proof may take: so much a tick of a piece, less so much a piece."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import lcm

from service.joints.certificate import ALL_WHOLE, Ends, Prices, Question, risen
from service.joints.certified_sum import longest_cells

MOST_CELLS_OF_LENGTH = 1_000
"""Cells of the longest stick: each has a price of its own."""

MOST_RATES = 2
"""Prices by the length that are tried, of those that promise most."""


@dataclass(frozen=True, slots=True)
class _Rate:
    """So much a tick of a piece and its cut, less `each` a piece and `spare` ticks a spared end."""

    tick: Fraction
    each: Fraction
    spare: int

    def promises(self, asked: Question) -> Fraction:
        """About what such a rate proves."""
        length = sum(run.high - run.low + asked.kerf for run in asked.runs)
        count, ends = len(asked.runs), 2 * asked.spared[0] * self.spare * len(asked.runs)
        longest = max(one.reach for one in asked.stocks)
        joints = sum((run.high - run.low) // longest for run in asked.runs)
        more = (asked.joint - self.each + self.tick * asked.kerf) * joints
        return self.tick * (length - ends) - self.each * count + more


def of_length(asked: Question) -> Iterator[Prices]:
    """So much by the length, the rates first that promise most.

    A stick yields a piece at least, and of a run each but one comes with a joint: so any share of
    a joint's price may be put on the sticks.
    """
    spare = max(max(one.spare) for one in asked.stocks)
    rates = [
        _Rate(_lowest(asked, each, known=known), each, spare if known else 0)
        for known in ((False, True) if spare else (False,))
        for each in _shares(asked, known=known)
    ]
    rates.sort(key=lambda rate: -rate.promises(asked))
    for rate in rates[:MOST_RATES]:
        yield _linear(asked, rate)


def _rooms(asked: Question, *, known: bool) -> list[tuple[int, Fraction, int | None]]:
    return [
        ((one.usable if known else one.reach) + asked.kerf, one.cost, one.most)
        for one in asked.stocks
        if one.most != 0
    ]


def _shares(asked: Question, *, known: bool) -> list[Fraction]:
    """None of a joint's price, all, and what makes two lengths cost alike by the foot."""
    rooms = _rooms(asked, known=known)
    alike = {
        Fraction(a * there - b * here, here - there)
        for (here, a, _), (there, b, _) in combinations(rooms, 2)
        if here != there
    }
    return sorted({Fraction(0), Fraction(asked.joint), *(e for e in alike if 0 < e < asked.joint)})


def _lowest(asked: Question, each: Fraction, *, known: bool) -> Fraction:
    """The price of a tick that no stick without a limit beats."""
    rooms = _rooms(asked, known=known)
    free = [(cost + each) / room for room, cost, most in rooms if most is None]
    return min(free) if free else max((cost + each) / room for room, cost, _ in rooms)


def _linear(asked: Question, rate: _Rate) -> Prices:
    grid = -(-(max(one.reach for one in asked.stocks) + asked.kerf) // MOST_CELLS_OF_LENGTH)
    cells = longest_cells(asked, grid)[2]
    whole = lcm(rate.tick.denominator, rate.each.denominator)
    tick, each = int(rate.tick * whole), int(rate.each * whole)
    worths = {
        ends: risen(
            (size, max(0, tick * (size * grid - rate.spare * ends) - each) // whole)
            for size in range(1, cells + 1)
        )
        for ends in _all_ends(asked)
    }
    return Prices(grid, worths, (), ALL_WHOLE)


def _all_ends(asked: Question) -> list[Ends]:
    either = (False, True)
    return sorted({asked.ends(low=low, high=high) for low in either for high in either})
