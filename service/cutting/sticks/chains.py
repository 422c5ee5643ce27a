"""What a stick can be worth where ends that slant alike may lie over each other (4.5).

Two ends save something only together, a high one and the low one that follows it, and no more than
the less deep of them is deep: half of each depth is put down to each. So a stick is filled as any
other, and then with chains: a piece that opens one by its high end, others that follow with both
ends, and one that closes it by its low end. Of boards that may be turned any piece lies either way.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from service.cutting.sticks.bench import MOST_WORTH, Bench
from service.cutting.sticks.ends import BARRED
from service.cutting.sticks.knapsack import Values
from service.cutting.sticks.pricing import Priced, filled_by, numbered, pattern_of, price

BEST_OF_A_STOCK = 8
"""Patterns of one stock that one pricing gives at most."""

Places = npt.NDArray[np.int64]


class _Link(NamedTuple):
    """A piece as it lies: its number, what it weighs and is worth, how its ends slant, which way.

    `low` and `high` are 1 where the end rises, -1 where it falls, 0 where it is square; `saves` are
    the halves of their depths.
    """

    number: int
    weight: int
    worth: int
    low: int
    high: int
    saves: tuple[int, int]

    def taken(self, *, low: bool, high: bool) -> int:
        """What it takes of a stick where its low end shares a cut, or its high one, or both."""
        return self.weight - self.saves[0] * low - self.saves[1] * high

    @property
    def is_told(self) -> bool:
        """Whether it takes anything of a stick, told in whole units, however it lies."""
        return self.taken(low=True, high=True) > 0


class _State:
    """For each room the most that a stick is worth, by which piece last, and what was before it."""

    def __init__(self, worth: Values) -> None:
        self.worth = worth
        self.last: Places = np.full(len(worth), -1, dtype=np.int64)
        self.came: Places = np.zeros(len(worth), dtype=np.int64)

    def grow(self, before: _State, came: int, number: int, worth: int, takes: int) -> bool:
        """Put a piece behind what was before wherever that is better; tells whether it ever is."""
        if takes >= len(self.worth):
            return False
        tried, own = before.worth[: len(self.worth) - takes] + worth, self.worth[takes:]
        better = tried > own
        if not better.any():
            return False
        own[better] = tried[better]
        self.last[takes:][better] = number
        self.came[takes:][better] = came
        return True


def price_with_shared_cuts(bench: Bench, values: Sequence[int], charges: Sequence[int]) -> Priced:
    """Patterns that pay, and what sticks are worth at most, as `price` gives them for plain ends.

    A pattern may take a little more than a stick has: it steers, and bounds. Nothing is known of
    sticks of pieces that are too short for the unit of their lengths.
    """
    apart, links = price(bench, values, charges), list(_links(bench, values))
    if not all(link.is_told for link in links):
        return Priced((MOST_WORTH,) * len(charges), apart.patterns)
    if not links:
        return apart
    chains = _Chains(bench, values, links)
    rooms = [
        capacity + low + high
        for capacity, (_, (low, high)) in zip(bench.capacities, bench.spare, strict=True)
    ]
    shared = [chains.most(room) for room in rooms]
    found = [
        pattern_of(bench, number, pieces)
        for number, (room, charge) in enumerate(zip(rooms, charges, strict=True))
        if shared[number] > charge
        for pieces in chains.paying(room, charge)
    ]
    most = tuple(max(both) for both in zip(apart.most, shared, strict=True))
    return Priced(most, (*apart.patterns, *found))


class _Chains:
    """The best of sticks at some prices, with the chains that they hold."""

    def __init__(self, bench: Bench, values: Sequence[int], links: Sequence[_Link]) -> None:
        self._bench, self.links = bench, links
        self._plain = filled_by(bench, values, bench.down)
        self._closed = _State(self._plain.best.copy())
        self._open = {
            way: _State(np.full(bench.reach + 1, BARRED, dtype=np.int64)) for way in (-1, 1)
        }
        while self._grown():
            pass

    def _grown(self) -> bool:
        """Go through all pieces once; tells whether any stick became worth more."""
        better = False
        for k, link in enumerate(self.links):
            if link.high:
                takes = link.taken(low=False, high=True)
                own = self._open[link.high]
                better |= own.grow(self._closed, 0, k, link.worth, takes)
        for k, link in enumerate(self.links):
            if link.low and link.high:
                takes, before = link.taken(low=True, high=True), self._open[link.low]
                better |= self._open[link.high].grow(before, link.low, k, link.worth, takes)
        for k, link in enumerate(self.links):
            if link.low:
                takes, before = link.taken(low=True, high=False), self._open[link.low]
                better |= self._closed.grow(before, link.low, k, link.worth, takes)
        return better

    def most(self, room: int) -> int:
        """What a stick of so much room is worth at most that holds a chain; -1 where none does."""
        return max((worth for worth, _, _ in self._ways(room)), default=-1)

    def paying(self, room: int, charge: int) -> Iterator[Counter[int]]:
        """The pieces of sticks that hold a chain and are worth more than a charge, best first."""
        ways = [(-worth, k, left) for worth, k, left in self._ways(room) if worth > charge]
        for _, k, left in sorted(ways)[:BEST_OF_A_STOCK]:
            yield self._traced(k, left)

    def _ways(self, room: int) -> Iterator[tuple[int, int, int]]:
        """By the last piece of its last chain what a stick is worth; and what that leaves."""
        for k, link in enumerate(self.links):
            left = room - link.taken(low=True, high=False)
            if link.low and left >= 0:
                yield int(self._open[link.low].worth[left]) + link.worth, k, left

    def _traced(self, last: int, room: int) -> Counter[int]:
        """The pieces of a stick whose `last` piece closes a chain; it leaves so much room."""
        found, came = Counter({self.links[last].number: 1}), self.links[last].low
        while True:
            state = self._open[came] if came else self._closed
            k = int(state.last[room])
            if k < 0:
                return found + numbered(self._bench, self._plain.pieces(room))
            link, before = self.links[k], int(state.came[room])
            found[link.number] += 1
            room -= link.taken(low=bool(before), high=bool(came))
            came = before


def _links(bench: Bench, values: Sequence[int]) -> Iterator[_Link]:
    """The pieces that may share a cut, as they may lie: those worth more than every lighter one."""
    alike: dict[tuple[object, ...], list[_Link]] = defaultdict(list)
    for number in bench.free:
        if values[number] > 0:
            for link in _ways(bench, number, values[number]):
                alike[link.low, link.high, link.saves].append(link)
    for own in alike.values():
        most = 0
        for link in sorted(own, key=lambda one: (one.weight, -one.worth, one.number)):
            if link.worth > most:
                most = link.worth
                yield link


def _ways(bench: Bench, number: int, worth: int) -> Iterator[_Link]:
    """A piece as it lies, and half round where boards may be turned."""
    need, weight = bench.needs[number], bench.down[number]
    slants = [(cut > 0) - (cut < 0) for cut in (need.low_cut, need.high_cut)]
    if not any(slants):
        return
    saves = [-(-abs(cut) // (2 * bench.unit)) for cut in (need.low_cut, need.high_cut)]
    yield _Link(number, weight, worth, slants[0], slants[1], (saves[0], saves[1]))
    if bench.stocks[0].turned:
        yield _Link(number, weight, worth, slants[1], slants[0], (saves[1], saves[0]))
