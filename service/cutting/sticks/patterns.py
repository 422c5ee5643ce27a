"""All patterns that a cheaper plan could use: at sure prices the others are too dear.

A plan of cost `target` at most can only hold sticks whose cost less what their pieces are worth
is within `target` less the bound. Only full patterns are kept (none with room for one more piece
that is wanted), and none that a cheaper stock holds as well: a plan needs no others, since a
piece too many is simply not cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from service.cutting.sticks.knapsack import MOST_WORTH, Bench, fill
from service.cutting.sticks.master import SCALE, Prices
from service.units.ticks import ceiling

Numbers = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Patterns:
    """Patterns as rows: the stock of each, and how many it holds of each need."""

    stocks: Numbers
    counts: Numbers
    reduced: Numbers

    def cheapest(self, most: int) -> Patterns:
        """The `most` patterns that are least too dear at these prices."""
        kept = np.argsort(self.reduced, kind="stable")[:most]
        return Patterns(self.stocks[kept], self.counts[kept], self.reduced[kept])


@dataclass(frozen=True, slots=True)
class _Layer:
    """Partly filled sticks: stock, room and value still to be reached; where each came from."""

    stock: Numbers
    room: Numbers
    short: Numbers
    parent: Numbers
    copies: Numbers

    def only(self, kept: npt.NDArray[np.bool_]) -> _Layer:
        return _Layer(*(own[kept] for own in self._all()))

    def _all(self) -> tuple[Numbers, ...]:
        return self.stock, self.room, self.short, self.parent, self.copies


def within(
    bench: Bench, prices: Prices, bound: Fraction, target: int, most: int
) -> Patterns | None:
    """Every pattern that a plan of cost `target` may need; None if more than `most` come up.

    `bound` is the sure bound of `prices`, unrounded. Pieces with factory ends are not listed.
    """
    if len(bench.free) < len(bench.needs) or not bench.exact:
        return None
    needed = _charges(bench, prices, bound, target)
    if bench.excess(prices.values) or max(map(abs, needed)) > MOST_WORTH:
        return None
    charges = np.array(needed, dtype=np.int64)
    order = sorted(range(len(bench.needs)), key=lambda k: (bench.up[k], k))
    tables = _tables(bench, prices.values, order)
    first = np.arange(len(bench.stocks), dtype=np.int64)
    layer = _Layer(first, np.array(bench.capacities), charges, first, first * 0)
    layers = []
    for place in reversed(range(len(order))):
        item = order[place]
        grown = _grown(layer, bench, item, prices.values[item], tables[place], most)
        if grown is None:
            return None
        layers.append(grown)
        layer = grown
    return _full(bench, layer, _counts(layers, order))


def _charges(bench: Bench, prices: Prices, bound: Fraction, target: int) -> list[int]:
    """What the pieces of a stick must be worth at least, unshrunk, for it to be of any use."""
    room = target * SCALE - bound
    return [
        ceiling(prices.shrink * (stock.cost * SCALE + rent - room))
        for stock, rent in zip(bench.stocks, prices.rents, strict=True)
    ]


def _tables(bench: Bench, values: Sequence[int], order: Sequence[int]) -> list[Numbers]:
    """For each place in `order`, what the items before it can be worth at each capacity."""
    capacity = max(bench.capacities)
    best = np.zeros(capacity + 1, dtype=np.int64)
    found = []
    for item in order:
        found.append(best)
        own = fill([bench.up[item]], [values[item]], [bench.most[item]], capacity, start=best)
        best = own.best
    return found


def _grown(
    layer: _Layer, bench: Bench, item: int, value: int, table: Numbers, most: int
) -> _Layer | None:
    """Every number of `item` in every stick that can still be worth enough."""
    weight = bench.up[item]
    found, total = [], 0
    numbers = np.arange(len(layer.room), dtype=np.int64)
    for copies in range(bench.most[item] + 1):
        room, short = layer.room - copies * weight, layer.short - copies * value
        fits = np.flatnonzero(room >= 0)
        if copies and not len(fits):
            break
        kept = fits[table[room[fits]] >= short[fits]]
        total += len(kept)
        if total > most:
            return None
        full = np.full(len(kept), copies, dtype=np.int64)
        found.append(_Layer(layer.stock[kept], room[kept], short[kept], numbers[kept], full))
    return _Layer(
        *(np.concatenate(own) for own in zip(*(one._all() for one in found), strict=True))
    )


def _counts(layers: Sequence[_Layer], order: Sequence[int]) -> Numbers:
    """How many of each need the sticks of the last layer hold."""
    last = np.arange(len(layers[-1].room), dtype=np.int64)
    counts = np.zeros((len(last), len(order)), dtype=np.int64)
    for layer, item in zip(reversed(layers), order, strict=True):
        counts[:, item] = layer.copies[last]
        last = layer.parent[last]
    return counts


def _full(bench: Bench, layer: _Layer, counts: Numbers) -> Patterns:
    """Those without room for one more, and that no cheaper stock holds."""
    weights, most = np.array(bench.up), np.array(bench.most)
    open_ = ((counts < most) & (weights <= layer.room[:, None])).any(axis=1)
    kept = np.logical_and(~open_, counts.any(axis=1))
    used = np.array(bench.capacities)[layer.stock] - layer.room
    for k, stock in enumerate(bench.stocks):
        if stock.supply is not None:
            continue
        dearer = [s.cost > stock.cost or (s.cost == stock.cost and j > k)
                  for j, s in enumerate(bench.stocks)]  # fmt: skip
        kept &= ~(np.array(dearer)[layer.stock] & (used <= bench.capacities[k]))
    one = layer.only(kept)
    return Patterns(one.stock, counts[kept], one.short)
