"""An exact integer knapsack: every capacity filled for greatest value, and what fills it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Values = npt.NDArray[np.int64]


class Pass(NamedTuple):
    """One step of filling: `copies` more of `item`, and at which capacities that paid, a byte each.

    A byte of bytes is looked up several times quicker than one of an array.
    """

    item: int
    copies: int
    weight: int
    better: bytes
    worth: list[int]


@dataclass(frozen=True, slots=True)
class Filled:
    """Best value for each capacity, and the passes by which it was reached."""

    best: Values
    passes: tuple[Pass, ...]

    def pieces(self, capacity: int, last: int | None = None) -> Counter[int]:
        """How many of each item the best filling of `capacity` by the passes to `last` holds."""
        taken: Counter[int] = Counter()
        for one in reversed(self.passes if last is None else self.passes[: last + 1]):
            if capacity >= one.weight and one.better[capacity - one.weight]:
                taken[one.item] += one.copies
                capacity -= one.weight
        return taken

    def ends(self, place: int, capacity: int) -> Iterator[tuple[int, int]]:
        """Value and number of every pass that made the filling of a watched capacity better."""
        for number, one in enumerate(self.passes):
            if capacity >= one.weight and one.better[capacity - one.weight]:
                yield one.worth[place], number


def fill(
    weights: Sequence[int],
    values: Sequence[int],
    most: Sequence[int],
    capacity: int,
    watched: Sequence[int] = (),
    start: Values | None = None,
) -> Filled:
    """Fill every capacity up to `capacity` with at most `most` of each item, for greatest value.

    `watched` capacities have their value noted at every pass. `start` is what other items that
    are there already can be worth at each capacity.
    """
    best = np.zeros(capacity + 1, dtype=np.int64) if start is None else start.copy()
    passes = []
    places = np.array(watched, dtype=np.int64)
    for item in sorted(range(len(weights)), key=lambda k: (-weights[k], k)):
        if values[item] <= 0:
            continue
        # A piece may be so short that it weighs nothing once rounded down.
        able = capacity // weights[item] if weights[item] else most[item]
        for copies in _halves(min(most[item], able)):
            weight = copies * weights[item]
            own = best[weight:]
            tried = best[: capacity + 1 - weight] + copies * values[item]
            better = (tried > own).tobytes()
            np.maximum(own, tried, out=own)
            passes.append(Pass(item, copies, weight, better, best.take(places).tolist()))
    return Filled(best, tuple(passes))


def _halves(most: int) -> Iterator[int]:
    """Few numbers whose sums are all the numbers up to `most`: 1, 2, 4, ... and what is left."""
    copies = 1
    while copies <= most:
        yield copies
        most -= copies
        copies *= 2
    if most:
        yield most
