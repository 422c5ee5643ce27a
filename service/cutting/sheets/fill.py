"""Filling sheets one by one: quick plans of through-cuts, from several orders of the parts."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, MutableMapping, Sequence
from itertools import groupby, product
from typing import Final

from service.cutting.sheets.stock import Cutup, SheetStock
from service.cutting.sheets.trees import Cutting, Leaf, Part, Tree, joined, parts_of

Orders = Mapping[str, Callable[[Part], tuple[int, int]]]

ORDERS: Orders = {
    "widest": lambda part: (part.width, part.length),
    "longest": lambda part: (part.length, part.width),
    "largest": lambda part: (part.length * part.width, part.length),
    "squarest": lambda part: (min(part.length, part.width), part.length * part.width),
}


MOST_SUMS = 500
"""So many sums of sides are looked at, to see how much of a sheet can be covered."""

DEEPEST = 50
"""Blocks within blocks that a fill goes down to; what is smaller stays a rest."""

FIRST_CUTS: Final[tuple[Cutting | None, ...]] = ("rip", "crosscut", None)


def fills(
    parts: Mapping[Part, int], stocks: Sequence[SheetStock], kerf: int, spent: Mapping[int, int]
) -> Iterator[list[Cutup]]:
    """Plans for all `parts`, one for each order and first cut; `spent` sheets are gone already."""
    most = coverable(parts, stocks, kerf)
    for key, first in product(ORDERS.values(), FIRST_CUTS):
        ordered = sorted(parts, key=key, reverse=True)
        plan = fill_all(ordered, Counter(parts), stocks, Filler(kerf, first), Counter(spent), most)
        if plan is not None:
            yield plan


def fill_all(
    ordered: Sequence[Part],
    left: Counter[Part],
    stocks: Sequence[SheetStock],
    filler: Filler,
    spent: Counter[int],
    most: Sequence[int],
) -> list[Cutup] | None:
    """Sheet by sheet, each of the stock that covers most for its cost; None if supply is short.

    `most` is what parts can cover of a sheet of each stock at most (`coverable`).
    `left` and `spent` are used up. While the parts of a sheet are there once more, it is repeated:
    filling would come to the same.
    """
    plan: list[Cutup] = []
    while left.total():
        best = _cheapest_by_area(ordered, left, stocks, filler, spent, most)
        if best is None:
            return None
        number, tree = best
        used = Counter(parts_of(tree))
        times = min(left[part] // count for part, count in used.items())
        supply = stocks[number].supply
        times = times if supply is None else min(times, supply - spent[number])
        left.subtract({part: times * count for part, count in used.items()})
        spent[number] += times
        plan += [(number, tree)] * times
    return plan


def _cheapest_by_area(
    ordered: Sequence[Part],
    left: Mapping[Part, int],
    stocks: Sequence[SheetStock],
    filler: Filler,
    spent: Mapping[int, int],
    most: Sequence[int],
) -> Cutup | None:
    """The sheet that covers most for its cost; None if there is none.

    One that would cost no less if it were covered as far as it can be is not filled.
    """
    best: Cutup | None = None
    cost, covered = 0, 0
    for number, stock in enumerate(stocks):
        if stock.supply is not None and spent[number] >= stock.supply:
            continue
        if best is not None and stock.cost * covered >= cost * most[number]:
            continue
        tree = filler.fill(
            ordered, dict(left), stock.length + filler.kerf, stock.width + filler.kerf
        )
        if tree is None:
            continue
        area = sum(part.length * part.width for part in parts_of(tree))
        if best is None or stock.cost * covered < cost * area:
            best, cost, covered = (number, tree), stock.cost, area
    return best


def coverable(parts: Iterable[Part], stocks: Sequence[SheetStock], kerf: int) -> list[int]:
    """The most that these parts, however many, can cover of a sheet of each stock (square ticks).

    Parts that are moved to the low corner as far as they go end, along and across, at sums of their
    sides: beyond the greatest sum that a sheet holds nothing is covered (Herz, IBM Journal of
    Research and Development 16, 1972).
    """
    each = tuple(parts)
    length = max(stock.length for stock in stocks) + kerf
    width = max(stock.width for stock in stocks) + kerf
    long = _sums({part.length + kerf for part in each}, length)
    wide = _sums({part.width + kerf for part in each}, width)
    return [
        min(stock.length * stock.width,
            _greatest(long, stock.length + kerf) * _greatest(wide, stock.width + kerf))
        for stock in stocks
    ]  # fmt: skip


def _sums(sides: set[int], most: int) -> list[int] | None:
    """All sums of sides up to `most`, ascending; None where there are too many."""
    found, new = {0}, {0}
    while new:
        new = {one + side for one in new for side in sides if one + side <= most} - found
        found |= new
        if len(found) > MOST_SUMS:
            return None
    return sorted(found)


def _greatest(sums: Sequence[int] | None, most: int) -> int:
    """The greatest of some sums that is no more than `most`."""
    return most if sums is None else sums[bisect_right(sums, most) - 1]


class Filler:
    """Fills a block's low side with the first part that fits, then what is left of the block."""

    def __init__(self, kerf: int, first: Cutting | None) -> None:
        self.kerf = kerf
        self.first = first

    def fill(
        self,
        ordered: Sequence[Part],
        left: MutableMapping[Part, int],
        length: int,
        width: int,
        depth: int = 0,
    ) -> Tree | None:
        """A block (sides grossed by a kerf) filled from `left`, which is lowered by what fits."""
        strips: list[tuple[Cutting, Tree | None]] = []
        while depth < DEEPEST and (part := self._fitting(ordered, left, length, width)):
            long, wide = part.length + self.kerf, part.width + self.kerf
            if (self.first or self._first(length - long, width - wide)) == "rip":
                strips.append(("rip", self._strip("crosscut", ordered, left, part, length, depth)))
                width -= wide
            else:
                strips.append(("crosscut", self._strip("rip", ordered, left, part, width, depth)))
                length -= long
        made: Tree | None = None
        for cut, own in groupby(reversed(strips), key=lambda strip: strip[0]):
            made = joined(cut, [*[tree for _, tree in own][::-1], made])
        return made

    def _strip(
        self,
        cut: Cutting,
        ordered: Sequence[Part],
        left: MutableMapping[Part, int],
        part: Part,
        side: int,
        depth: int,
    ) -> Tree | None:
        """A strip as deep as one part: as many of it as there are, then a fill of the rest."""
        long, wide = part.length + self.kerf, part.width + self.kerf
        own = long if cut == "crosscut" else wide
        count = min(left[part], side // own)
        left[part] -= count
        over = side - count * own
        rest = (over, wide) if cut == "crosscut" else (long, over)
        filled = self.fill(ordered, left, *rest, depth + 1)
        return joined(cut, [*[Leaf(part)] * count, filled])

    def _fitting(
        self, ordered: Sequence[Part], left: Mapping[Part, int], length: int, width: int
    ) -> Part | None:
        long, wide = length - self.kerf, width - self.kerf
        for part in ordered:
            if part.length <= long and part.width <= wide and left[part]:
                return part
        return None

    def _first(self, along: int, across: int) -> Cutting:
        """The cut that keeps the larger rest whole."""
        return "crosscut" if along > across else "rip"
