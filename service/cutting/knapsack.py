"""The best pattern for each stock at given prices: an exact integer knapsack.

Weights are piece plus kerf, capacities usable plus kerf, so that n pieces need n - 1 kerfs.
They are scaled to a common unit; where that would be too fine, weights are rounded up for
patterns (always cuttable) and down for bounds (always valid).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from math import gcd

import numpy as np
import numpy.typing as npt

from service.cutting.records import Need, Pattern, Stock

FINEST = 16_000

Values = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Filled:
    """Best value for each capacity, and the passes by which it was reached."""

    best: Values
    passes: tuple[tuple[int, int, int, npt.NDArray[np.bool_]], ...]

    def pieces(self, capacity: int) -> Counter[int]:
        """How many of each item the best filling of `capacity` holds."""
        taken: Counter[int] = Counter()
        for item, copies, weight, better in reversed(self.passes):
            if better[capacity]:
                taken[item] += copies
                capacity -= weight
        return taken


def fill(weights: Sequence[int], values: Sequence[int], capacity: int) -> Filled:
    """Fill every capacity up to `capacity` with any number of items, for the greatest value."""
    best = np.zeros(capacity + 1, dtype=np.int64)
    passes = []
    for item in sorted(range(len(weights)), key=lambda k: (-weights[k], k)):
        if values[item] <= 0:
            continue
        copies = 1
        while copies * weights[item] <= capacity:
            weight = copies * weights[item]
            tried = best[: capacity + 1 - weight] + copies * values[item]
            better = np.zeros(capacity + 1, dtype=bool)
            np.greater(tried, best[weight:], out=better[weight:])
            np.maximum(best[weight:], tried, out=best[weight:])
            passes.append((item, copies, weight, better))
            copies *= 2
    return Filled(best, tuple(passes))


@dataclass(frozen=True, slots=True)
class Bench:
    """Stocks and needs in a common unit, ready for pricing."""

    stocks: tuple[Stock, ...]
    needs: tuple[Need, ...]
    up: tuple[int, ...]
    down: tuple[int, ...]
    capacities: tuple[int, ...]


def bench_for(stocks: Sequence[Stock], needs: Sequence[Need], kerf: int, slack: int = 0) -> Bench:
    """Scale stocks and needs (ticks) for `price`.

    Pieces may be shorter than the need that stands for them by up to `slack`; bounds allow for it.
    """
    weights = [need.length + kerf for need in needs]
    room = [stock.usable + kerf for stock in stocks]
    unit = max(reduce(gcd, weights), -(-max(room) // FINEST))
    return Bench(
        tuple(stocks),
        tuple(needs),
        tuple(-(-weight // unit) for weight in weights),
        tuple((weight - slack) // unit for weight in weights),
        tuple(space // unit for space in room),
    )


def price(bench: Bench, values: Sequence[int], *, sure: bool) -> list[tuple[int, Pattern]]:
    """For each stock the greatest value of one stick, and the pattern that has it.

    With `sure` the patterns can be cut; without it the values are an upper bound.
    """
    weights = bench.up if sure else bench.down
    free = [k for k, need in enumerate(bench.needs) if not (need.low_factory or need.high_factory)]
    filled = fill([weights[k] for k in free], [values[k] for k in free], max(bench.capacities))
    found = []
    for number, capacity in enumerate(bench.capacities):
        ends = _ends(bench, values, weights, number, filled.best)
        value, taken = max(ends, key=lambda end: (end[0], -len(end[1])))
        rest = capacity - sum(weights[k] for k in taken)
        pieces = Counter(taken)
        whole = any(bench.needs[k].low_factory and bench.needs[k].high_factory for k in taken)
        if not whole:
            pieces.update({free[k]: n for k, n in filled.pieces(rest).items()})
        found.append((value, _pattern(bench, number, pieces)))
    return found


def _ends(
    bench: Bench, values: Sequence[int], weights: Sequence[int], number: int, best: Values
) -> list[tuple[int, tuple[int, ...]]]:
    """Every choice of pieces that need a factory end, with the value of the whole stick."""
    capacity = bench.capacities[number]
    needs = bench.needs
    found: list[tuple[int, tuple[int, ...]]] = [(int(best[capacity]), ())]
    lows = [k for k, n in enumerate(needs) if n.low_factory and not n.high_factory]
    highs = [k for k, n in enumerate(needs) if n.high_factory and not n.low_factory]
    wholes = [k for k, n in enumerate(needs) if n.low_factory and n.high_factory]
    found += [(values[k], (k,)) for k in wholes if needs[k].length == bench.stocks[number].usable]
    sets = [(k,) for k in lows + highs] + [(a, b) for a in lows for b in highs]
    for taken in sets:
        rest = capacity - sum(weights[k] for k in taken)
        if rest >= 0:
            found.append((sum(values[k] for k in taken) + int(best[rest]), taken))
    return found


def _pattern(bench: Bench, number: int, pieces: Counter[int]) -> Pattern:
    counted = sorted((bench.needs[k], n) for k, n in pieces.items())
    return Pattern(number, tuple(counted))
