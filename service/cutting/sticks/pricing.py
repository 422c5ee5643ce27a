"""The best patterns for each stock at given prices, by an exact integer knapsack.

No pattern holds more of a piece than is wanted: no plan needs one that does.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from service.cutting.records import Pattern
from service.cutting.sticks.bench import Bench
from service.cutting.sticks.ends import Ended, Ends
from service.cutting.sticks.knapsack import Filled, Values, fill

BEST_OF_A_STOCK, NEEDS_FOR_ONE = 8, 16
"""Patterns of one stock that one pricing gives at most, or one for so many needs: more of them
save rounds."""


@dataclass(frozen=True, slots=True)
class Priced:
    """What every stick can be worth at most, and patterns worth more than their charge."""

    most: tuple[int, ...]
    patterns: tuple[Pattern, ...]


def price(bench: Bench, values: Sequence[int], charges: Sequence[int]) -> Priced:
    """Patterns that pay at these prices of the needs and charges of the stocks.

    The patterns can be cut; the greatest values are upper bounds.
    """
    filled = filled_by(bench, values, bench.up)
    cuttable = Ends(bench, values, filled, sure=True)
    every = cuttable
    if not bench.exact:
        every = Ends(bench, values, filled_by(bench, values, bench.down), sure=False)
    many = max(BEST_OF_A_STOCK, len(bench.needs) // NEEDS_FOR_ONE)
    around = _Around.of(bench, values, filled)
    most = tuple(every.greatest(k) for k in range(len(charges)))
    found = list[Pattern]()
    for k, charge in enumerate(charges):
        if most[k] > charge:
            found += _paying(bench, around, k, charge, filled, cuttable.best(k, many))
    return Priced(most, tuple(found))


@dataclass(frozen=True, slots=True)
class _Around:
    """The free needs that are worth anything, to fill a stick round one piece of each."""

    numbers: Values
    weights: Values
    worths: Values
    best: Values

    @classmethod
    def of(cls, bench: Bench, values: Sequence[int], filled: Filled) -> _Around:
        """Those of a bench at some prices."""
        numbers = [k for k in bench.free if values[k] > 0]
        return cls(
            _amounts(numbers),
            _amounts([bench.up[k] for k in numbers]),
            _amounts([values[k] for k in numbers]),
            filled.best,
        )

    def paying(self, capacity: int, charge: int, most: int) -> list[int]:
        """Those round which a capacity is worth more than a charge, the best of them first."""
        rooms = capacity - self.weights
        worths = np.where(rooms >= 0, self.worths + self.best[np.maximum(rooms, 0)], -1)
        order = np.argsort(-worths, kind="stable")[:most]
        found: list[int] = self.numbers[order[worths[order] > charge]].tolist()
        return found


def _paying(
    bench: Bench, around: _Around, number: int, charge: int, filled: Filled,
    best: Sequence[Ended],
) -> Iterator[Pattern]:  # fmt: skip
    """The patterns of one stock that are worth more than its charge, best first."""
    capacity = bench.capacities[number]
    most = max(BEST_OF_A_STOCK, len(bench.needs) // NEEDS_FOR_ONE)
    ended = most if any(bench.stocks[number].spare) else 1
    for one in best[:ended]:
        if one.value > charge and one.ends:
            free = filled.pieces(one.room) if one.room >= 0 else Counter[int]()
            yield pattern_of(bench, number, _within_most(bench, one.ends, numbered(bench, free)))
    ends = sorted(filled.ends(number, capacity), reverse=True)[:most]
    for worth, last in ends:
        if worth > charge:
            yield pattern_of(bench, number, numbered(bench, filled.pieces(capacity, last)))
    for k in around.paying(capacity, charge, most):
        pieces = numbered(bench, filled.pieces(capacity - bench.up[k])) + Counter({k: 1})
        if pieces[k] <= bench.most[k]:
            yield pattern_of(bench, number, pieces)


def _within_most(bench: Bench, ends: tuple[int, ...], free: Counter[int]) -> Counter[int]:
    """The pieces of a stick: those at its ends, and of the others no more than are wanted."""
    own = Counter(ends)
    for k in own:
        free[k] = max(0, min(free[k], bench.most[k] - own[k]))
    return own + free


def filled_by(bench: Bench, values: Sequence[int], weights: Sequence[int]) -> Filled:
    """Sticks filled with the needs that may lie anywhere."""
    free = bench.free
    return fill(
        [weights[k] for k in free],
        [values[k] for k in free],
        [bench.most[k] for k in free],
        bench.reach,
        bench.capacities,
    )


def numbered(bench: Bench, pieces: Counter[int]) -> Counter[int]:
    """Numbers among all needs for numbers among the free ones."""
    free = bench.free
    return Counter({free[k]: n for k, n in pieces.items()})


def pattern_of(bench: Bench, number: int, pieces: Counter[int]) -> Pattern:
    """The pattern of a stock with so many of each need."""
    counted = sorted((bench.needs[k], n) for k, n in pieces.items() if n)
    return Pattern(number, tuple(counted))


def _amounts(amounts: Sequence[int]) -> Values:
    return np.array(amounts, dtype=np.int64)
