"""Sticks filled piece after piece for greatest worth, where neighbours may overlap (4.5).

What more a stick can hold depends only on its length so far and on how its last piece ends. So for
each number of pieces, each such end and each length the best filling is known from those of a piece
less. Lengths are ticks; they are rounded up to a grain here, so that whatever is found can be cut.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from service.cutting.records import Between, Need, Stock
from service.units.ticks import INCH, MM

MOST_IN_STICK = 8
"""Pieces of a stick at most."""

NOTHING = 1e-9
"""Worth that counts as none."""

End: TypeAlias = tuple[int, bool]
"""How the last piece of a stick ends: its slant, and whether a raw end spares it."""

Worth: TypeAlias = npt.NDArray[np.float64]
Places: TypeAlias = npt.NDArray[np.int64]

EMPTY: Final = -1.0
"""The worth of what cannot be."""


@dataclass(frozen=True, slots=True)
class _Front:
    """Fillings that are worth more than every shorter one, the shortest first.

    No other need be lengthened. `places` are where each stands, among all ends and lengths.
    """

    lengths: Places
    worth: Worth
    places: Places


@dataclass(frozen=True, slots=True)
class _Filled:
    """For each length the worth of the best filling that ends so; its last piece, and from where.

    `came` is the place of the filling before, among all ends and lengths; -1 for none.
    """

    worth: Worth
    last: Places
    came: Places

    def lay(self, number: int, worth: float, more: int, before: _Front) -> None:
        """A piece that adds so `more` of a length to fillings, wherever that is better."""
        fit = int(before.lengths.searchsorted(len(self.worth) - more))
        at, made = before.lengths[:fit] + more, before.worth[:fit] + worth
        better = made > self.worth[at]
        at = at[better]
        self.worth[at], self.last[at] = made[better], number
        self.came[at] = before.places[:fit][better]


class Filler:
    """Fills sticks of some stocks with pieces, each with its number and as it lies."""

    def __init__(
        self,
        stocks: Sequence[Stock],
        lying: Sequence[tuple[int, Need]],
        between: Callable[[Need, Need], Between],
    ) -> None:
        metric = all(way.length % MM == 0 for _, way in lying)
        self._grain = MM if metric else INCH // 16
        self._stocks, self._between = stocks, between
        alike = len({stock.spare for stock in stocks}) == 1
        self._spare = stocks[0].spare if alike else (0, 0)
        longest = max(stock.usable for stock in stocks) + self._spare[0] + self._spare[1]
        self._size = longest // self._grain + 1
        self._lying = lying
        self._ends = sorted({(way.high_cut, way.high_spared) for _, way in lying})
        self._more = {way: self._lengthening(way) for _, way in lying}

    def best(
        self, worth: Sequence[float], costs: Sequence[float]
    ) -> Iterator[tuple[int, tuple[Need, ...]]]:
        """For each stock and number of pieces the stick worth most, if that is over its cost.

        `worth` is that of a piece by its number, `costs` those of the stocks.
        """
        pieces = self._worth_laying(worth)
        layers: list[dict[End, _Filled]] = []
        for _ in range(MOST_IN_STICK):
            layer = self._after(layers[-1], pieces) if layers else self._firsts(pieces)
            if not layer:
                return
            layers.append(layer)
            for number, cost in enumerate(costs):
                end, at = self._top(layer, self._stocks[number])
                if layer[end].worth[at] > cost + NOTHING:
                    yield number, self._traced(layers, pieces, end, at)

    def _worth_laying(self, worth: Sequence[float]) -> list[tuple[float, Need]]:
        """The pieces that are worth more than every shorter one with the same ends."""
        alike: dict[tuple[object, ...], list[tuple[int, float, Need]]] = defaultdict(list)
        for number, way in self._lying:
            alike[way[1:]].append((way.length, -worth[number], way))
        found = []
        for own in alike.values():
            most = NOTHING
            for _, less, way in sorted(own):
                if -less > most:
                    most = -less
                    found.append((most, way))
        return found

    def _lengthening(self, way: Need) -> Mapping[int, tuple[End, ...]]:
        """How much longer a piece makes a stick, in grains, by the ends that it may follow."""
        found: dict[int, tuple[End, ...]] = {}
        for end in self._ends:
            between = self._between(Need(0, high_cut=end[0]), way)
            more = -(-(way.length + between.kerf - between.lap) // self._grain)
            if 0 < more < self._size:
                found[more] = (*found.get(more, ()), end)
        return found

    def _filled(self, layer: dict[End, _Filled], way: Need) -> _Filled:
        """The fillings of a layer that end as a piece does."""
        end = way.high_cut, way.high_spared
        if end not in layer:
            none = np.full(self._size, -1, dtype=np.int64)
            layer[end] = _Filled(np.full(self._size, EMPTY), none, none.copy())
        return layer[end]

    def _firsts(self, pieces: Sequence[tuple[float, Need]]) -> dict[End, _Filled]:
        """Sticks of one piece, which a raw end may spare."""
        layer: dict[End, _Filled] = {}
        for number, (worth, way) in enumerate(pieces):
            at = -(-(way.length - self._spare[0] * way.low_spared) // self._grain)
            if at < self._size:
                own = self._filled(layer, way)
                if worth > own.worth[at]:
                    own.worth[at], own.last[at] = worth, number
        return layer

    def _after(
        self, before: dict[End, _Filled], pieces: Sequence[tuple[float, Need]]
    ) -> dict[End, _Filled]:
        """Sticks of one piece more."""
        layer: dict[End, _Filled] = {}
        fronts: dict[tuple[End, ...], _Front] = {}
        for number, (worth, way) in enumerate(pieces):
            for more, ends in self._more[way].items():
                if ends not in fronts:
                    fronts[ends] = self._front(before, ends)
                if len(fronts[ends].lengths):
                    self._filled(layer, way).lay(number, worth, more, fronts[ends])
        return {end: own for end, own in layer.items() if own.worth.max() > EMPTY}

    def _front(self, before: Mapping[End, _Filled], ends: Sequence[End]) -> _Front:
        """The fillings that end in one of some ways and are worth lengthening."""
        best = np.full(self._size, EMPTY)
        place = np.zeros(self._size, dtype=np.int64)
        lengths = np.arange(self._size)
        for end in (end for end in before if end in ends):
            better = before[end].worth > best
            best[better] = before[end].worth[better]
            place[better] = lengths[better] + self._ends.index(end) * self._size
        shorter = np.maximum.accumulate(np.concatenate(([EMPTY], best[:-1])))
        kept = np.flatnonzero(best > shorter)
        return _Front(kept, best[kept], place[kept])

    def _top(self, layer: dict[End, _Filled], stock: Stock) -> tuple[End, int]:
        """The end and the length of the filling worth most that a stock holds."""
        found = []
        for end, filled in sorted(layer.items()):
            room = (stock.usable + self._spare[1] * end[1]) // self._grain + 1
            at = int(filled.worth[:room].argmax())
            found.append((-float(filled.worth[at]), end, at))
        _, end, at = min(found)
        return end, at

    def _traced(
        self,
        layers: Sequence[dict[End, _Filled]],
        pieces: Sequence[tuple[float, Need]],
        end: End,
        at: int,
    ) -> tuple[Need, ...]:
        """The pieces of a filling, from its first."""
        found = []
        for layer in reversed(layers):
            found.append(pieces[layer[end].last[at]][1])
            which, at = divmod(int(layer[end].came[at]), self._size)
            end = self._ends[max(0, which)]
        return tuple(reversed(found))
