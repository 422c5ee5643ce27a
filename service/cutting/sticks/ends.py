"""What a stick is worth by the pieces at its two ends, which may take less of it or only fit there.

Pieces that spare length at a raw end, or have a factory end, lie at one end of a stick; what is
between them is filled as any stick. Where many pieces can lie at either end not all pairs are
weighed: what a piece at the low end can reach is known before its partner is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from service.cutting.sticks.bench import Bench
from service.cutting.sticks.knapsack import Filled, Values

MOST_PAIRS = 10_000
"""Pairs of pieces at the ends of a stick that are all weighed."""


@dataclass(frozen=True, slots=True)
class Ended:
    """What a stick is worth with some pieces at its ends, and the room left for others.

    The room is -1 for a piece that fills the stick alone.
    """

    value: int
    ends: tuple[int, ...]
    room: int


_End = tuple[int | None, int]
"""A piece at an end of a stick and the room that it takes; None where any may lie there."""

_NONE: _End = (None, 0)


class Ends:
    """The best of sticks at some prices by their ends; `sure`: it can be cut, not only bounded."""

    def __init__(self, bench: Bench, values: Sequence[int], filled: Filled, *, sure: bool) -> None:
        self._bench, self._values, self._filled, self._sure = bench, values, filled, sure
        self._weights = bench.up if sure else bench.down
        self._beside: dict[tuple[_End, ...], Values] = {}

    def best(self, number: int, most: int) -> list[Ended]:
        """The `most` best of a stock, or more, by the piece at the low end, best first.

        The first is the greatest value of all: also of a stick whose ends no piece is for.
        """
        bench, values = self._bench, self._values
        capacity = bench.capacities[number]
        best = Ended(int(self._filled.best[capacity]), (), capacity)
        for k in bench.whole:
            if bench.needs[k].length == bench.stocks[number].usable and values[k] > best.value:
                best = Ended(values[k], (k,), -1)
        low, high = bench.spare[number][not self._sure]
        lows = self._ending(bench.lows) + self._ending(bench.spared[0] if low else (), low)
        highs = self._ending(bench.highs) + self._ending(bench.spared[1] if high else (), high)
        if not (lows or highs):
            return [best]
        found = [best, *self._alone(capacity + low + high)]
        found += self._at_both(capacity, (_NONE, *lows), (_NONE, *highs), most)
        return sorted(found, key=lambda one: -one.value)

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

    def _at_both(
        self, capacity: int, lows: Sequence[_End], highs: tuple[_End, ...], most: int
    ) -> list[Ended]:
        """The best piece at the high end for each at the low end, or for the `most` best."""
        if len(lows) * len(highs) <= MOST_PAIRS:
            return self._paired(capacity, lows, highs)
        reach = self._reach(capacity, lows, highs)
        order = np.argsort(-reach, kind="stable")
        weighed = 2 * most
        while weighed < len(lows):
            rows = sorted(order[:weighed].tolist())
            found = self._paired(capacity, [lows[i] for i in rows], highs)
            # Those that are worth more than any that were not weighed can be.
            over = int(reach[order[weighed]])
            if sum(one.value > over for one in found) >= most:
                return found
            weighed *= 2
        return self._paired(capacity, lows, highs)

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

    def _paired(self, capacity: int, lows: Sequence[_End], highs: Sequence[_End]) -> list[Ended]:
        """The best piece at the high end for each of those at the low end that fit."""
        rests = capacity - np.add.outer(_amounts(w for _, w in lows), _amounts(w for _, w in highs))
        worth = np.add.outer(self._worths(lows), self._worths(highs))
        worth = np.where(rests >= 0, worth + self._filled.best[np.maximum(rests, 0)], -1)
        most = self._bench.most
        places = {k: j for j, (k, _) in enumerate(highs) if k is not None and most[k] < 2}
        for i, (k, _) in enumerate(lows):
            if k in places:
                worth[i, places[k]] = -1  # one piece cannot lie at both ends
        found = []
        for i, j in enumerate(worth.argmax(axis=1).tolist()):
            if worth[i, j] >= 0:
                ends = tuple(k for k in (lows[i][0], highs[j][0]) if k is not None)
                found.append(Ended(int(worth[i, j]), ends, int(rests[i, j])))
        return found


def _amounts(amounts: Iterable[int]) -> Values:
    return np.array(list(amounts), dtype=np.int64)
