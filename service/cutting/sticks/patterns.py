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

from service.cutting.sticks.bench import MOST_WORTH, Bench
from service.cutting.sticks.knapsack import fill
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
class _Ways:
    """The stocks by what raw ends spare: the number of each, its room, and the ends that count.

    A stock stands here once for each set of ends that spare length, without any first.
    """

    stocks: Numbers
    rooms: Numbers
    low: npt.NDArray[np.bool_]
    high: npt.NDArray[np.bool_]


def _ways(bench: Bench) -> _Ways:
    """Every stock with none, either and both of its ends counted, as far as they spare anything."""
    found = []
    for number, (capacity, (spare, _)) in enumerate(
        zip(bench.capacities, bench.spare, strict=True)
    ):
        for low in (False, True)[: 1 + bool(spare[0])]:
            for high in (False, True)[: 1 + bool(spare[1])]:
                found.append((number, capacity + spare[0] * low + spare[1] * high, low, high))
    stocks, rooms, lows, highs = zip(*found, strict=True)
    return _Ways(np.array(stocks), np.array(rooms), np.array(lows), np.array(highs))


@dataclass(frozen=True, slots=True)
class _Layer:
    """Partly filled sticks: way, room and value still to be reached; where each came from."""

    way: Numbers
    room: Numbers
    short: Numbers
    parent: Numbers
    copies: Numbers

    def only(self, kept: npt.NDArray[np.bool_]) -> _Layer:
        return _Layer(*(own[kept] for own in self._all()))

    def _all(self) -> tuple[Numbers, ...]:
        return self.way, self.room, self.short, self.parent, self.copies


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
    ways = _ways(bench)
    charges = np.array(needed, dtype=np.int64)[ways.stocks]
    order = sorted(range(len(bench.needs)), key=lambda k: (bench.up[k], k))
    tables = _tables(bench, prices.values, order)
    first = np.arange(len(ways.stocks), dtype=np.int64)
    layer = _Layer(first, ways.rooms, charges, first, first * 0)
    layers = []
    for place in reversed(range(len(order))):
        item = order[place]
        grown = _grown(layer, bench, item, prices.values[item], tables[place], most)
        if grown is None:
            return None
        layers.append(grown)
        layer = grown
    return _full(bench, ways, layer, _counts(layers, order))


def _charges(bench: Bench, prices: Prices, bound: Fraction, target: int) -> list[int]:
    """What the pieces of a stick must be worth at least, unshrunk, for it to be of any use."""
    room = target * SCALE - bound
    return [
        ceiling(prices.shrink * (stock.cost * SCALE + rent - room))
        for stock, rent in zip(bench.stocks, prices.rents, strict=True)
    ]


def _tables(bench: Bench, values: Sequence[int], order: Sequence[int]) -> list[Numbers]:
    """For each place in `order`, what the items before it can be worth at each capacity."""
    capacity = bench.reach
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
        found.append(_Layer(layer.way[kept], room[kept], short[kept], numbers[kept], full))
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


def _full(bench: Bench, ways: _Ways, layer: _Layer, counts: Numbers) -> Patterns:
    """Those without room for one more, that lie as their way says, and no cheaper stock holds."""
    weights, most = np.array(bench.up), np.array(bench.most)
    open_ = ((counts < most) & (weights <= layer.room[:, None])).any(axis=1)
    # One piece that lies at both ends leaves the room, and not the ends, for another.
    open_ &= ~((counts.sum(axis=1) == 1) & ways.low[layer.way] & ways.high[layer.way])
    kept = np.logical_and(~open_, counts.any(axis=1)) & _lie(bench, ways, layer, counts)
    used = ways.rooms[layer.way] - layer.room
    own = ways.stocks[layer.way]
    for k, stock in enumerate(bench.stocks):
        if stock.supply is not None:
            continue
        dearer = [s.cost > stock.cost or (s.cost == stock.cost and j > k)
                  for j, s in enumerate(bench.stocks)]  # fmt: skip
        kept &= ~(np.array(dearer)[own] & (used <= bench.capacities[k]))
    # What a stock holds without this way's ends stands there already.
    kept &= ~((ways.low | ways.high)[layer.way] & (used <= np.array(bench.capacities)[own]))
    return Patterns(own[kept], counts[kept], layer.only(kept).short)


def _lie(bench: Bench, ways: _Ways, layer: _Layer, counts: Numbers) -> npt.NDArray[np.bool_]:
    """Whether there is a piece for each end that counts; one that is alone can be for both."""
    low, high = ways.low[layer.way], ways.high[layer.way]
    lows, highs, both = (counts[:, list(own)].sum(axis=1) for own in bench.spared)
    either = counts[:, sorted({*bench.spared[0], *bench.spared[1]})].sum(axis=1)
    alone = (counts.sum(axis=1) == 1) & (both == 1)
    one = (either == 1) & ~alone
    lie: npt.NDArray[np.bool_] = ~((low & (lows < 1)) | (high & (highs < 1)) | (low & high & one))
    return lie
