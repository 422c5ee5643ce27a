"""The nesting programme: ways of cutting a sheet, priced by part, added while they pay."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import inf

from service.cutting.sheet_fill import Cutup, SheetStock
from service.cutting.sheet_trees import Part, extent, parts_of
from service.cutting.sheet_values import Table
from service.solver.programme import Programme, Solved

SCALE = 1 << 20
PRICE_OF_MISSING = 1000


class SheetMaster:
    """Ways of cutting against parts: for each part, cut at least as many as wanted.

    Ways that only fit a raster of rounded sizes serve the bound and are never used in a plan.
    """

    def __init__(
        self,
        parts: Mapping[Part, int],
        stocks: Sequence[SheetStock],
        kerf: int,
        start: Sequence[Cutup],
    ) -> None:
        self.parts = dict(parts)
        self.stocks = tuple(stocks)
        self.kerf = kerf
        self.work = 0
        self._programme = Programme()
        self._columns: dict[Cutup, int] = {}
        self._true: dict[Cutup, bool] = {}
        self._supply = {
            number: self._programme.add_row(-inf, stock.supply)
            for number, stock in enumerate(stocks)
            if stock.supply is not None
        }
        self._rows = {part: self._programme.add_row(count) for part, count in self.parts.items()}
        worst = PRICE_OF_MISSING * max(stock.cost for stock in stocks) + 1
        for row in self._rows.values():
            self._programme.add_column(worst, {row: 1.0})
        for cutup in start:
            self._add(cutup)
        self._table = Table(list(self.parts), [(s.length, s.width) for s in stocks], kerf)

    def _add(self, cutup: Cutup) -> bool:
        """Add a way of cutting once; tells whether it was new."""
        if cutup in self._columns:
            return False
        number, tree = cutup
        entries = {self._rows[p]: float(n) for p, n in Counter(parts_of(tree)).items()}
        if number in self._supply:
            entries[self._supply[number]] = 1.0
        stock = self.stocks[number]
        length, width = extent(tree, self.kerf)
        self._true[cutup] = length <= stock.length + self.kerf and width <= stock.width + self.kerf
        self._columns[cutup] = self._programme.add_column(stock.cost, entries)
        return True

    def generate(self, rounds: int) -> Fraction:
        """Add ways of cutting while they pay; gives what the parts must cost at least, exactly."""
        best = Fraction(0)
        for _ in range(rounds):
            solved = self._programme.solve()
            if solved is None:
                return best
            self.work += 1
            bound, added = self._priced(solved)
            best = max(best, bound)
            if not added:
                break
        return best

    def _priced(self, solved: Solved) -> tuple[Fraction, bool]:
        """A sure bound at these prices, and whether any new way of cutting pays."""
        values = [max(0, int(solved.duals[row] * SCALE)) for row in self._rows.values()]
        rents = {n: max(0, int(-solved.duals[r] * SCALE) + 1) for n, r in self._supply.items()}
        worths = self._table.price(values)
        charges = [s.cost * SCALE + rents.get(n, 0) for n, s in enumerate(self.stocks)]
        wanted = sum(v * count for v, count in zip(values, self.parts.values(), strict=True))
        shrink = max(
            (Fraction(w, c) if c else Fraction(w + 1) for w, c in zip(worths, charges, strict=True)
             if w > c),
            default=Fraction(1),
        )  # fmt: skip
        rent = sum(rents[n] * (self.stocks[n].supply or 0) for n in rents)
        added = [
            self._add((number, tree))
            for number, (worth, charge) in enumerate(zip(worths, charges, strict=True))
            if worth > charge + SCALE // 100_000 and (tree := self._table.tree(number)) is not None
        ]
        return (wanted / shrink - rent) / SCALE, any(added)

    def used(self) -> list[tuple[Cutup, float]]:
        """True ways of cutting in the programme's solution, and how many sheets of each."""
        solved = self._programme.solve()
        if solved is None:
            return []
        return [
            (cutup, solved.values[column])
            for cutup, column in self._columns.items()
            if self._true[cutup] and solved.values[column] > 1e-9
        ]

    def whole(self, nodes: int, cutoff: float) -> list[Cutup] | None:
        """Whole numbers of the true ways at hand, by branch and bound; None if none is cheaper."""
        true = [cutup for cutup in self._columns if self._true[cutup]]
        numbers = self._programme.solve_whole([self._columns[one] for one in true], nodes, cutoff)
        if numbers is None:
            return None
        return [cutup for cutup, number in zip(true, numbers, strict=False) for _ in range(number)]
