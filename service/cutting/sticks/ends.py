"""What a stick is worth by the pieces at its two ends, which may take less of it or only fit there.

Pieces that spare length at a raw end, or have a factory end, lie at one end of a stick; what is
between them is filled as any stick. Where many pieces can lie at either end not all pairs are
weighed: what a piece at the low end can reach is known before its partner is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from service.cutting.sticks.bench import MOST_WORTH, Bench
from service.cutting.sticks.knapsack import Filled, Values

MOST_PAIRS = 10_000
"""Pairs of pieces at the ends of a stick that are all weighed."""


class Ended(NamedTuple):
    """What a stick is worth with some pieces at its ends, and the room left for others.

    The room is -1 for a piece that fills the stick alone.
    """

    value: int
    ends: tuple[int, ...]
    room: int


_Gains = tuple[int, int]
"""What the two ends of a stock give back."""

BARRED = -2 * MOST_WORTH
"""The worth of what cannot be: below 0 whatever is added to it."""


@dataclass(frozen=True, slots=True)
class _Side:
    """The pieces that may lie at one end of a stick, with the room that each takes and its worth.

    The first stands for none of its own: any may lie there. `single` are the places of those that
    are wanted once.
    """

    pieces: Sequence[int | None]
    weights: Values
    worths: Values
    single: Mapping[int | None, int]

    def only(self, rows: Sequence[int]) -> _Side:
        """Some of them, as those of a low end."""
        pieces = [self.pieces[row] for row in rows]
        return _Side(pieces, self.weights[rows], self.worths[rows], {})


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Each piece that may lie at the low end of a stick with each at its high end.

    A row for each of `lows`, a column for each of `highs`: what both weigh and are worth together.
    """

    lows: _Side
    highs: _Side
    weights: Values
    worths: Values

    def filled(self, capacity: int, best: Values) -> Values:
        """The worth of each with the best that goes between; below 0 where it does not fit."""
        rests = capacity - self.weights
        return np.where(rests >= 0, self.worths + best[np.maximum(rests, 0)], BARRED)


class Ends:
    """The best of sticks at some prices by their ends; `sure`: it can be cut, not only bounded."""

    def __init__(self, bench: Bench, values: Sequence[int], filled: Filled, *, sure: bool) -> None:
        self._bench, self._values, self._filled, self._sure = bench, values, filled, sure
        self._weights = bench.up if sure else bench.down
        self._beside: dict[_Gains, Values] = {}
        self._sides: dict[_Gains, tuple[_Side, _Side]] = {}
        self._pairs: dict[_Gains, _Pairs] = {}

    def greatest(self, number: int) -> int:
        """The most that a stick of a stock can be worth, whatever lies at its ends.

        A piece at an end is counted once more where it also lies between; with all that the ends
        spare as room for any piece, none is counted more often than it is wanted. The less holds.
        """
        paired = self._greatest_paired(number)
        if self._bench.lows or self._bench.highs:
            return paired
        low, high = self._bench.spare[number][not self._sure]
        roomy = int(self._filled.best[self._bench.capacities[number] + low + high])
        return min(paired, max(roomy, *(one.value for one in self._without_pairs(number))))

    def _greatest_paired(self, number: int) -> int:
        """The same by the pieces at the ends and the best that goes between."""
        lows, highs = self._at_ends(number)
        if len(lows.pieces) * len(highs.pieces) > MOST_PAIRS:
            return self.best(number, 1)[0].value
        paired = self._every_pair(number).filled(self._bench.capacities[number], self._filled.best)
        return max(int(paired.max()), *(one.value for one in self._without_pairs(number)))

    def best(self, number: int, most: int) -> list[Ended]:
        """The `most` best of a stock, or more, by the piece at the low end, best first.

        The first is the greatest value of all: also of a stick whose ends no piece is for.
        """
        lows, highs = self._at_ends(number)
        found = self._without_pairs(number)
        if len(lows.pieces) * len(highs.pieces) > MOST_PAIRS:
            found += self._of_the_farthest(number, lows, highs, most)
        elif len(lows.pieces) * len(highs.pieces) > 1:
            found += self._paired(self._bench.capacities[number], self._every_pair(number))
        return sorted(found, key=lambda one: -one.value)

    def _without_pairs(self, number: int) -> list[Ended]:
        """The best of free pieces or a whole stick, and pieces alone that spare both ends."""
        bench, values = self._bench, self._values
        capacity = bench.capacities[number]
        best = Ended(int(self._filled.best[capacity]), (), capacity)
        for k in bench.whole:
            if bench.needs[k].length == bench.stocks[number].usable and values[k] > best.value:
                best = Ended(values[k], (k,), -1)
        low, high = bench.spare[number][not self._sure]
        return [best, *(self._alone(capacity + low + high) if low or high else ())]

    def _gains(self, number: int) -> _Gains:
        """What the ends of a stock give back, as far as it is sure or at most."""
        return self._bench.spare[number][not self._sure]

    def _at_ends(self, number: int) -> tuple[_Side, _Side]:
        """What may lie at the low and at the high end of a stock."""
        low, high = gains = self._gains(number)
        if gains not in self._sides:
            bench = self._bench
            lows = self._side(bench.lows, bench.spared[0] if low else (), low)
            highs = self._side(bench.highs, bench.spared[1] if high else (), high)
            self._sides[gains] = lows, highs
        return self._sides[gains]

    def _side(self, factory: Sequence[int], spared: Sequence[int], gain: int) -> _Side:
        """Those that are worth anything at an end of a stick, of which the `spared` gain there."""
        values, weights, most = self._values, self._weights, self._bench.most
        ends = [(k, weights[k]) for k in factory if values[k] > 0]
        ends += [(k, weights[k] - gain) for k in spared if values[k] > 0]
        single: dict[int | None, int] = {
            k: place for place, (k, _) in enumerate(ends, 1) if most[k] < 2
        }
        return _Side(
            (None, *(k for k, _ in ends)),
            _amounts((0, *(weight for _, weight in ends))),
            _amounts((0, *(values[k] for k, _ in ends))),
            single,
        )

    def _every_pair(self, number: int) -> _Pairs:
        """All pairs at the ends of a stock: those of stocks that spare the same are the same."""
        gains = self._gains(number)
        if gains not in self._pairs:
            self._pairs[gains] = self._weigh(*self._at_ends(number))
        return self._pairs[gains]

    def _alone(self, capacity: int) -> list[Ended]:
        """Pieces that spare both ends of a stick, which only one that lies there alone can."""
        return [
            Ended(self._values[k], (k,), -1)
            for k in self._bench.spared[2]
            if self._values[k] > 0 and self._weights[k] <= capacity
        ]

    def _of_the_farthest(self, number: int, lows: _Side, highs: _Side, most: int) -> list[Ended]:
        """The best piece at the high end for the `most` best at the low end, or more of them."""
        capacity, reach = self._bench.capacities[number], self._reach(number, lows, highs)
        order = np.argsort(-reach, kind="stable")
        weighed = 2 * most
        while weighed < len(order):
            some = lows.only(sorted(order[:weighed].tolist()))
            found = self._paired(capacity, self._weigh(some, highs))
            # Those that are worth more than any that were not weighed can be.
            over = int(reach[order[weighed]])
            if sum(one.value > over for one in found) >= most:
                return found
            weighed *= 2
        return self._paired(capacity, self._weigh(lows, highs))

    def _reach(self, number: int, lows: _Side, highs: _Side) -> Values:
        """What each piece at the low end can come to at most; -1 where it does not fit."""
        gains = self._gains(number)
        if gains not in self._beside:
            self._beside[gains] = self._with_one(highs)
        rooms = self._bench.capacities[number] - lows.weights
        worth = lows.worths + self._beside[gains][np.maximum(rooms, 0)]
        return np.where(rooms >= 0, worth, -1)

    def _with_one(self, highs: _Side) -> Values:
        """The most that each capacity is worth with one of these pieces at its high end."""
        best = self._filled.best
        made: Values = np.full(len(best), -1, dtype=np.int64)
        for weight, value in zip(highs.weights.tolist(), highs.worths.tolist(), strict=True):
            if weight >= 0:
                own, there = made[weight:], best[: len(best) - weight]
            else:
                own, there = made[:weight], best[-weight:]
            np.maximum(own, there + value, out=own)
        return made

    def _weigh(self, lows: _Side, highs: _Side) -> _Pairs:
        """Every pair of these, but none of one piece that would lie at both ends."""
        weights = np.add.outer(lows.weights, highs.weights)
        worths = np.add.outer(lows.worths, highs.worths)
        for row, k in enumerate(lows.pieces):
            if k in highs.single:
                worths[row, highs.single[k]] = BARRED
        return _Pairs(lows, highs, weights, worths)

    def _paired(self, capacity: int, pairs: _Pairs) -> list[Ended]:
        """The best piece at the high end for each of those at the low end that fit."""
        every = pairs.filled(capacity, self._filled.best)
        rows = np.arange(len(every))
        best = every.argmax(axis=1)
        weights, worths = pairs.weights[rows, best].tolist(), every[rows, best].tolist()
        found = []
        for low, j, weight, worth in zip(
            pairs.lows.pieces, best.tolist(), weights, worths, strict=True
        ):
            if worth >= 0:
                ends = tuple(k for k in (low, pairs.highs.pieces[j]) if k is not None)
                found.append(Ended(worth, ends, capacity - weight))
        return found


def _amounts(amounts: Iterable[int]) -> Values:
    return np.array(list(amounts), dtype=np.int64)
