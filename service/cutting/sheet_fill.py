"""Filling sheets one by one: quick plans of through-cuts, from several orders of the parts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Final

from service.cutting.sheet_trees import Cutting, Leaf, Part, Split, Tree, parts_of

Orders = Mapping[str, Callable[[Part], tuple[int, int]]]

ORDERS: Orders = {
    "widest": lambda part: (part.width, part.length),
    "longest": lambda part: (part.length, part.width),
    "largest": lambda part: (part.length * part.width, part.length),
    "squarest": lambda part: (min(part.length, part.width), part.length * part.width),
}


@dataclass(frozen=True, slots=True)
class SheetStock:
    """One size of sheet that can be bought; `supply` is how many there are, None without limit."""

    key: str
    length: int
    width: int
    cost: int
    supply: int | None = None


FIRST_CUTS: Final[tuple[Cutting | None, ...]] = ("rip", "crosscut", None)

Cutup = tuple[int, Tree]
"""A stock's number and how one sheet of it is cut."""


def fills(
    parts: Mapping[Part, int], stocks: Sequence[SheetStock], kerf: int, spent: Mapping[int, int]
) -> Iterator[list[Cutup]]:
    """Plans for all `parts`, one for each order and first cut; `spent` sheets are gone already."""
    for key, first in product(ORDERS.values(), FIRST_CUTS):
        ordered = sorted(parts, key=key, reverse=True)
        plan = _all(ordered, Counter(parts), stocks, _Filler(kerf, first), Counter(spent))
        if plan is not None:
            yield plan


def _all(
    ordered: Sequence[Part],
    left: Counter[Part],
    stocks: Sequence[SheetStock],
    filler: _Filler,
    spent: Counter[int],
) -> list[Cutup] | None:
    """Sheet by sheet, each of the stock that covers most for its cost."""
    plan: list[Cutup] = []
    while left.total():
        best: tuple[Fraction, int, Tree, Counter[Part]] | None = None
        for number, stock in enumerate(stocks):
            if stock.supply is not None and spent[number] >= stock.supply:
                continue
            rest = Counter(left)
            tree = filler.fill(ordered, rest, stock.length + filler.kerf, stock.width + filler.kerf)
            if tree is None:
                continue
            area = sum(part.length * part.width for part in parts_of(tree))
            rate = Fraction(stock.cost, area)
            if best is None or rate < best[0]:
                best = rate, number, tree, rest
        if best is None:
            return None
        _, number, tree, left = best
        spent[number] += 1
        plan.append((number, tree))
    return plan


class _Filler:
    """Puts the first part that fits into a block's corner, then fills what is left of it."""

    def __init__(self, kerf: int, first: Cutting | None) -> None:
        self.kerf = kerf
        self.first = first

    def fill(
        self, ordered: Sequence[Part], left: Counter[Part], length: int, width: int
    ) -> Tree | None:
        """A block (sides grossed by a kerf) filled from `left`, which is lowered by what fits."""
        part = self._fitting(ordered, left, length, width)
        if part is None:
            return None
        left[part] -= 1
        long, wide = part.length + self.kerf, part.width + self.kerf
        if (self.first or self._first(length - long, width - wide)) == "rip":
            beside = self.fill(ordered, left, length - long, wide)
            over = self.fill(ordered, left, length, width - wide)
            return _split("rip", _split("crosscut", Leaf(part), beside), over)
        over = self.fill(ordered, left, long, width - wide)
        beside = self.fill(ordered, left, length - long, width)
        return _split("crosscut", _split("rip", Leaf(part), over), beside)

    def _fitting(
        self, ordered: Sequence[Part], left: Counter[Part], length: int, width: int
    ) -> Part | None:
        for part in ordered:
            fits = part.length + self.kerf <= length and part.width + self.kerf <= width
            if fits and left[part]:
                return part
        return None

    def _first(self, along: int, across: int) -> Cutting:
        """The cut that keeps the larger rest whole."""
        return "crosscut" if along > across else "rip"


def _split(cut: Cutting, first: Tree, second: Tree | None) -> Tree:
    return first if second is None else Split(cut, first, second)
