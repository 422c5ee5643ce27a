"""What sheets must cost at least over every way of jointing their rows, not over one alone.

Sizes are given values so that no sheet holds parts of more value than its own: a piece's value is
that of its length times that of its width, each by a scale that never gives parts of a side more
than the side (dual feasible functions; Fekete and Schepers, Mathematics of Operations Research 29,
2004). Each run takes the way of jointing it that is worth least, whatever its neighbours do; whole
sheets of that worth are then bought.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from service.cutting.mixes import MOST_SUM, Good, Shelf
from service.cutting.sheets.stock import SheetStock
from service.cutting.sheets.trees import Part
from service.cutting.sheets.ways import Jointing

Scale = Callable[[int], int]
Values = NDArray[Any]


ENDLESS = 1 << 200
"""More than any parts are worth."""

MOST_EQUAL = 3
"""A side is taken in up to so many equal parts and one more, for the scales of equal parts."""

MOST_SMALL = 3
"""So many small sizes are taken that nothing lies beside what leaves less."""


class Measure:
    """Values of parts by every pair of scales, and what parts of some values must cost at least.

    A value is a row of numbers, one for each pair; values of parts add up. No sheet's own value is
    less than that of the parts it holds.
    """

    def __init__(
        self, parts: Iterable[Part], stocks: Sequence[SheetStock], kerf: int, most: int
    ) -> None:
        every = sorted(set(parts))
        full = max(stock.length for stock in stocks) + kerf, stocks[0].width + kerf
        long = scales(full[0], {part.length + kerf for part in every})
        wide = scales(full[1], {part.width + kerf for part in every})
        kind = np.int64 if full[0] * full[1] * most < MOST_SUM else object
        self._none = np.zeros(len(long) * len(wide), dtype=kind)
        along = {size: [f(size + kerf) for f in long] for size in {one.length for one in every}}
        across = {size: [g(size + kerf) for g in wide] for size in {one.width for one in every}}
        self._of = {
            part: np.array(
                [a * b for a in along[part.length] for b in across[part.width]], dtype=kind
            )
            for part in every
        }
        self._rooms: dict[int, Values] = {}
        goods = [
            tuple(Good(s.cost, f(s.length + kerf) * g(full[1]), s.supply) for s in stocks)
            for f in long
            for g in wide
        ]
        # Scales that give all of a width are alike for whole sheets.
        reckoned: dict[tuple[Good, ...], Any] = {}
        shelves = {one: Shelf(one, reckoned) for one in dict.fromkeys(goods)}
        self._shelves = [shelves[one] for one in goods]

    def of(self, parts: Iterable[Part | None]) -> Values:
        """The value of parts together."""
        return self.together(self._of[part] for part in parts if part is not None)

    def together(self, values: Iterable[Values]) -> Values:
        """Values added up."""
        total = self._none
        for value in values:
            total = total + value
        return total

    def of_area(self, area: int) -> Values:
        """The value of an area that is covered in whatever pieces (square ticks)."""
        return np.array([area, *[0] * (len(self._none) - 1)], dtype=object)

    def least(self, run: Jointing) -> Values:
        """The least that a run is worth over all ways of jointing it, by each pair of scales."""
        best: dict[int, Values] = {0: self._none}
        for start, end, part in run.steps:
            if start in best:
                worth = best[start] if part is None else best[start] + self._of[part]
                best[end] = np.minimum(best[end], worth) if end in best else worth
        return best.get(run.last, self._none)

    def room(self, cost: int) -> Values:
        """The most that parts in sheets for `cost` are worth, by each pair of scales."""
        if cost not in self._rooms:
            rooms = {shelf: shelf.most_worth(cost) for shelf in dict.fromkeys(self._shelves)}
            found = [ENDLESS if (room := rooms[one]) is None else room for one in self._shelves]
            self._rooms[cost] = np.array(found, dtype=object)
        return self._rooms[cost]

    def cost(self, value: Values) -> int:
        """What whole sheets of that value cost at least, by whichever scales show the most."""
        most: dict[Shelf, int] = {}
        for shelf, wanted in zip(self._shelves, value, strict=True):
            most[shelf] = max(int(wanted), most.get(shelf, 0))
        return max(shelf.least_mix(wanted) for shelf, wanted in most.items())


def least_over(runs: Iterable[Jointing], measure: Measure, bare: int = 0) -> int:
    """What all runs must cost together at least, however each is jointed.

    `bare` is an area that is covered besides, in whatever pieces (square ticks).
    """
    value = measure.of_area(bare)
    for run, count in Counter(runs).items():
        value = value + count * measure.least(run)
    return measure.cost(value)


def scales(full: int, sizes: Iterable[int]) -> list[Scale]:
    """Scales of one side: lengths as they are, in equal parts, and with the small ones left out.

    Of sizes that together fit `full`, no scale gives more than it gives `full` itself.
    """
    small = sorted(size for size in sizes if 2 * size <= full)[:MOST_SMALL]
    return [
        lambda size: size,
        *(_equal(full, parts) for parts in range(1, MOST_EQUAL + 1)),
        *(_without(full, least) for least in small),
    ]


def _equal(full: int, parts: int) -> Scale:
    """What is over one of `parts` + 1 equal parts is one of `parts`; an exact part is itself."""

    def scale(size: int) -> int:
        whole, rest = divmod((parts + 1) * size, full)
        return whole * (parts + 1) if rest else whole * parts

    return scale


def _without(full: int, least: int) -> Scale:
    """What is under `least` is nothing, and what leaves less than that is all."""

    def scale(size: int) -> int:
        if size < least:
            return 0
        return full if size > full - least else size

    return scale
