"""An exact integer knapsack: every capacity filled for greatest value, and what fills it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Values = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

MANY_ITEMS = 100
"""Up to so many items, those that a lighter one outdoes may fill as well: more ways are as good."""

BITS = np.arange(8, dtype=np.uint8)[:, None]
"""By how much each of eight rows is shifted to make a byte of them."""


class Pass(NamedTuple):
    """One step of filling: `copies` more of `item`, which weigh `weight` together."""

    item: int
    copies: int
    weight: int


@dataclass(frozen=True)
class Filled:
    """Best value for each capacity, and the passes by which it was reached.

    `better` says of each pass, a row, at which capacities it paid, in rows by the eight; `worths`
    what the watched capacities were worth after each.
    """

    best: Values
    passes: tuple[Pass, ...]
    better: Flags
    worths: Values

    @cached_property
    def _packed(self) -> tuple[bytes, int]:
        """For each capacity the passes that paid as bits, the first the lowest; and their bytes."""
        rows, capacities = self.better.shape
        eights = self.better.view(np.uint8).reshape(rows // 8, 8, capacities)
        packed = np.bitwise_or.reduce(eights << BITS, axis=1)
        return packed.T.tobytes(), rows // 8

    def pieces(self, capacity: int, last: int | None = None) -> Counter[int]:
        """How many of each item the best filling of `capacity` by the passes to `last` holds.

        The last pass that paid is what was put in last; what it left was filled by those before.
        """
        taken: Counter[int] = Counter()
        packed, size = self._packed
        before = (1 << (len(self.passes) if last is None else last + 1)) - 1
        while True:
            at = capacity * size
            paid = int.from_bytes(packed[at : at + size], "little") & before
            if not paid:
                return taken
            number = paid.bit_length() - 1
            item, copies, weight = self.passes[number]
            taken[item] += copies
            capacity -= weight
            before = (1 << number) - 1

    def ends(self, place: int, capacity: int) -> Iterator[tuple[int, int]]:
        """Value and number of every pass that made the filling of a watched capacity better."""
        for number in np.flatnonzero(self.better[:, capacity]).tolist():
            yield int(self.worths[number, place]), number


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
    passes = tuple(_passes(weights, values, most, capacity))
    better = np.zeros((-(-len(passes) // 8) * 8, capacity + 1), dtype=np.bool_)
    worths = np.zeros((len(passes), len(watched)), dtype=np.int64)
    places = np.array(watched, dtype=np.int64)
    for number, (item, copies, weight) in enumerate(passes):
        own = best[weight:]
        tried = best[: capacity + 1 - weight] + copies * values[item]
        np.greater(tried, own, out=better[number, weight:])
        np.maximum(own, tried, out=own)
        best.take(places, out=worths[number])
    return Filled(best, passes, better, worths)


def _passes(
    weights: Sequence[int], values: Sequence[int], most: Sequence[int], capacity: int
) -> Iterator[Pass]:
    """The heaviest items first, each in few numbers; those that are worth nothing are left out."""
    items = [k for k in range(len(weights)) if values[k] > 0]
    if len(items) > MANY_ITEMS:
        items = list(_best(items, weights, values, most, capacity))
    for item in sorted(items, key=lambda k: (-weights[k], k)):
        # A piece may be so short that it weighs nothing once rounded down.
        able = capacity // weights[item] if weights[item] else most[item]
        for copies in _halves(min(most[item], able)):
            yield Pass(item, copies, copies * weights[item])


def _best(
    items: Sequence[int], weights: Sequence[int], values: Sequence[int], most: Sequence[int],
    capacity: int,
) -> Iterator[int]:  # fmt: skip
    """Those of the items that are worth more than any as light of which a stick may be full."""
    top = 0
    for item in sorted(items, key=lambda k: (weights[k], -values[k], k)):
        if values[item] > top:
            yield item
            full = weights[item] and most[item] >= capacity // weights[item]
            top = values[item] if full else top


def _halves(most: int) -> Iterator[int]:
    """Few numbers whose sums are all the numbers up to `most`: 1, 2, 4, ... and what is left."""
    copies = 1
    while copies <= most:
        yield copies
        most -= copies
        copies *= 2
    if most:
        yield most
