"""What a stick is worth by the pieces at its two ends, which may take less of it or only fit there.

Pieces that spare length at a raw end, or have a factory end, lie at one end of a stick; what is
between them is filled as any stick. Where many pieces can lie at either end not all pairs are
weighed: what a piece at the low end can reach is known before its partner is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
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


_End = tuple[int | None, int]
"""A piece at an end of a stick and the room that it takes; None where any may lie there."""

_NONE: _End = (None, 0)

BARRED = -2 * MOST_WORTH
"""The worth of what cannot be: below 0 whatever is added to it."""


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Each piece that may lie at the low end of a stick with each at its high end.

    A row for each of `lows`, a column for each of `highs`: what both weigh and are worth together.
    """

    lows: Sequence[_End]
    highs: Sequence[_End]
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
        self._beside: dict[tuple[_End, ...], Values] = {}
        self._sides: dict[tuple[int, int], tuple[tuple[_End, ...], tuple[_End, ...]]] = {}
        self._pairs: dict[tuple[int, int], _Pairs] = {}

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
        if len(lows) * len(highs) > MOST_PAIRS:
            return self.best(number, 1)[0].value
        paired = self._every_pair(number).filled(self._bench.capacities[number], self._filled.best)
        return max(int(paired.max()), *(one.value for one in self._without_pairs(number)))

    def best(self, number: int, most: int) -> list[Ended]:
        """The `most` best of a stock, or more, by the piece at the low end, best first.

        The first is the greatest value of all: also of a stick whose ends no piece is for.
        """
        lows, highs = self._at_ends(number)
        found = self._without_pairs(number)
        if len(lows) * len(highs) > MOST_PAIRS:
            found += self._of_the_farthest(self._bench.capacities[number], lows, highs, most)
        elif len(lows) * len(highs) > 1:
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

    def _at_ends(self, number: int) -> tuple[tuple[_End, ...], tuple[_End, ...]]:
        """What may lie at the low and at the high end of a stock, nothing of its own first."""
        low, high = gains = self._bench.spare[number][not self._sure]
        if gains not in self._sides:
            bench = self._bench
            lows = self._ending(bench.lows) + self._ending(bench.spared[0] if low else (), low)
            highs = self._ending(bench.highs) + self._ending(bench.spared[1] if high else (), high)
            self._sides[gains] = (_NONE, *lows), (_NONE, *highs)
        return self._sides[gains]

    def _every_pair(self, number: int) -> _Pairs:
        """All pairs at the ends of a stock: those of stocks that spare the same are the same."""
        gains = self._bench.spare[number][not self._sure]
        if gains not in self._pairs:
            self._pairs[gains] = self._weigh(*self._at_ends(number))
        return self._pairs[gains]

    def _ending(self, needs: Sequence[int], gain: int = 0) -> list[_End]:
        """Those of `needs` that are worth anything at an end of a stick."""
        return [(k, self._weights[k] - gain) for k in needs if self._values[k] > 0]

    def _alone(self, capacity: int) -> list[Ended]:
        """Pieces that spare both ends of a stick, which only one that lies there alone can."""
        return [
            Ended(self._values[k], (k,), -1)
            for k in self._bench.spared[2]
            if self._values[k] > 0 and self._weights[k] <= capacity
        ]

    def _of_the_farthest(
        self, capacity: int, lows: Sequence[_End], highs: tuple[_End, ...], most: int
    ) -> list[Ended]:
        """The best piece at the high end for the `most` best at the low end, or more of them."""
        reach = self._reach(capacity, lows, highs)
        order = np.argsort(-reach, kind="stable")
        weighed = 2 * most
        while weighed < len(lows):
            rows = sorted(order[:weighed].tolist())
            found = self._paired(capacity, self._weigh([lows[i] for i in rows], highs))
            # Those that are worth more than any that were not weighed can be.
            over = int(reach[order[weighed]])
            if sum(one.value > over for one in found) >= most:
                return found
            weighed *= 2
        return self._paired(capacity, self._weigh(lows, highs))

    def _reach(self, capacity: int, lows: Sequence[_End], highs: tuple[_End, ...]) -> Values:
        """What each piece at the low end can come to at most; -1 where it does not fit."""
        if highs not in self._beside:
            self._beside[highs] = self._with_one(highs)
        rooms = capacity - _amounts(weight for _, weight in lows)
        worth = self._worths(lows) + self._beside[highs][np.maximum(rooms, 0)]
        return np.where(rooms >= 0, worth, -1)

    def _with_one(self, highs: Sequence[_End]) -> Values:
        """The most that each capacity is worth with one of these pieces at its high end."""
        best = self._filled.best
        made: Values = np.full(len(best), -1, dtype=np.int64)
        for (_, weight), value in zip(highs, self._worths(highs).tolist(), strict=True):
            if weight >= 0:
                own, there = made[weight:], best[: len(best) - weight]
            else:
                own, there = made[:weight], best[-weight:]
            np.maximum(own, there + value, out=own)
        return made

    def _worths(self, ends: Sequence[_End]) -> Values:
        return _amounts(0 if k is None else self._values[k] for k, _ in ends)

    def _weigh(self, lows: Sequence[_End], highs: Sequence[_End]) -> _Pairs:
        """Every pair of these, but none of one piece that would lie at both ends."""
        weights = np.add.outer(_amounts(w for _, w in lows), _amounts(w for _, w in highs))
        worths = np.add.outer(self._worths(lows), self._worths(highs))
        most = self._bench.most
        places = {k: j for j, (k, _) in enumerate(highs) if k is not None and most[k] < 2}
        for i, (k, _) in enumerate(lows):
            if k in places:
                worths[i, places[k]] = BARRED
        return _Pairs(lows, highs, weights, worths)

    def _paired(self, capacity: int, pairs: _Pairs) -> list[Ended]:
        """The best piece at the high end for each of those at the low end that fit."""
        every = pairs.filled(capacity, self._filled.best)
        rows = np.arange(len(every))
        best = every.argmax(axis=1)
        weights, worths = pairs.weights[rows, best].tolist(), every[rows, best].tolist()
        found = []
        for (low, _), j, weight, worth in zip(
            pairs.lows, best.tolist(), weights, worths, strict=True
        ):
            if worth >= 0:
                ends = tuple(k for k in (low, pairs.highs[j][0]) if k is not None)
                found.append(Ended(worth, ends, capacity - weight))
        return found


def _amounts(amounts: Iterable[int]) -> Values:
    return np.array(list(amounts), dtype=np.int64)
