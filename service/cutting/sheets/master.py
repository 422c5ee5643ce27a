"""The nesting programme: ways of cutting a sheet, priced by part, added while they pay.

Beside parts that are wanted as they are it takes runs of rows, each to be jointed in one of its
ways: what a way uses of a part, sheets must yield. Its bound then holds for every way of them.

Costs are counted in units of the dearest sheet's, so that neither the programme nor the integers
of the bound depend on the currency: `SCALE` units are the cost of that sheet.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import inf

from service.cutting.sheets.stock import Cutup, SheetStock, attainable, step_of
from service.cutting.sheets.trees import Part, extent, fitted, parts_of
from service.cutting.sheets.values import Table
from service.cutting.sheets.ways import Jointing, least_worth, most_of
from service.solver.programme import Programme, Solved
from service.units.folding import folded

# The worst price of a part, over a sheet full of the smallest parts that `Table` can tell apart,
# stays under 2**63.
SCALE = 1 << 30
PRICE_OF_MISSING = 1000
TREES_A_ROUND = 4
MOST_WAYS = 600
MOST_POSITIONS = 200
WORTH_ADDING = SCALE // 100_000
ERROR = 1e-6


@dataclass(frozen=True, slots=True)
class Priced:
    """One round of pricing: the price of each part, and what all must cost at least at these.

    Prices are integers in `SCALE`ths of the dearest sheet's cost, and so are the charges of sheets,
    rent for what is at hand among them; `added` tells whether ways of cutting were found that pay,
    and no bound from the programme exceeds its `reach`.
    """

    prices: Mapping[Part, int]
    charges: Sequence[int]
    least: Fraction
    reach: Fraction
    added: bool


@dataclass(frozen=True, slots=True)
class Sure:
    """Prices at which no sheet is worth over its charge; all must cost `least` at these.

    All are integers, `SCALE` of them the cost `unit`.
    """

    prices: Mapping[Part, int]
    charges: tuple[int, ...]
    least: int
    unit: int

    def slack(self, cost: int) -> int:
        """By how much all that is in a plan for so much may fall short of its charges at most."""
        return -(-cost * SCALE // self.unit) - self.least


class SheetMaster:
    """Ways of cutting against parts: for each part, cut at least as many as wanted.

    `parts` says how many of each are wanted as they are, `runs` what is to be jointed besides.
    Ways that only fit a raster of rounded sizes serve the bound and are never used in a plan.
    """

    def __init__(
        self,
        parts: Mapping[Part, int],
        stocks: Sequence[SheetStock],
        kerf: int,
        start: Iterable[Cutup],
        runs: Mapping[Jointing, int] | None = None,
    ) -> None:
        self.runs = dict(runs or {})
        most = most_of(self.runs, parts)
        self.parts = {part: parts.get(part, 0) for part in most}
        self.stocks = tuple(stocks)
        self.kerf = kerf
        self.work = 0
        self._unit = max(1, *(stock.cost for stock in stocks))
        self._charges = [stock.cost * SCALE // self._unit for stock in stocks]
        self._programme = Programme()
        self._columns: dict[Cutup, int] = {}
        self._true: dict[Cutup, bool] = {}
        self._supply = {
            number: self._programme.add_row(-inf, stock.supply)
            for number, stock in enumerate(stocks)
            if stock.supply is not None
        }
        self._rows = {part: self._programme.add_row(count) for part, count in self.parts.items()}
        for row in self._rows.values():
            self._programme.add_column(PRICE_OF_MISSING, {row: 1.0})
        for run, count in self.runs.items():
            self._add_run(run, count)
        self.add(start)
        self._table = Table(most, [(s.length, s.width) for s in stocks], kerf, MOST_POSITIONS)

    def _add_run(self, run: Jointing, count: int) -> None:
        """A flow of `count` from one end of a run to the other, over steps that use parts."""
        nodes = sorted({node for start, end, _ in run.steps for node in (start, end)})
        through = {0: count, run.last: -count}
        row = {
            node: self._programme.add_row(through.get(node, 0), through.get(node, 0))
            for node in nodes
        }
        for start, end, part in run.steps:
            used = {} if part is None else {self._rows[part]: -1.0}
            self._programme.add_column(0, {row[start]: 1.0, row[end]: -1.0} | used)

    def add(self, ways: Iterable[Cutup]) -> bool:
        """Add ways of cutting, each once; tells whether any was new."""
        return sum(self._add(cutup) for cutup in ways) > 0

    def _add(self, cutup: Cutup) -> bool:
        if cutup in self._columns:
            return False
        number, tree = cutup
        entries = {self._rows[p]: float(n) for p, n in Counter(parts_of(tree)).items()}
        if number in self._supply:
            entries[self._supply[number]] = 1.0
        stock = self.stocks[number]
        length, width = extent(tree, self.kerf)
        self._true[cutup] = length <= stock.length + self.kerf and width <= stock.width + self.kerf
        cost = stock.cost / self._unit
        self._columns[cutup] = self._programme.add_column(cost, entries)
        return True

    def bound(self, rounds: int, enough: int | None) -> int:
        """What the parts must cost at least, as far as so many rounds of pricing show it.

        Ends when that is `enough`, or when it cannot rise to a further step of cost.
        """
        bound = 0
        for priced in self.priced(rounds):
            bound = max(bound, attainable(priced.least, self.stocks))
            reach = attainable(priced.reach, self.stocks)
            if bound >= reach or (enough is not None and bound >= enough):
                break
        return bound

    def ripen(self, rounds: int) -> None:
        """Add every way of cutting that still pays, for plans in whole sheets."""
        for _ in self.priced(rounds):
            pass

    def priced(self, rounds: int) -> Iterator[Priced]:
        """Solve, price and add ways of cutting while they pay, in so many rounds at most."""
        for _ in range(rounds):
            solved = self._programme.solve()
            if solved is None:
                return
            self.work += 1
            priced = self._priced(solved)
            yield priced
            if not priced.added:
                return

    def _reach(self, solved: Solved) -> Fraction:
        """What no bound from this programme exceeds: its own cost, less what it may err by."""
        return Fraction(solved.objective * (1 - ERROR)) * self._unit

    def _priced(self, solved: Solved) -> Priced:
        """A sure bound at these prices, and whether any new way of cutting pays."""
        rents = {n: max(0, int(-solved.duals[r] * SCALE) + 1) for n, r in self._supply.items()}
        charges = [charge + rents.get(n, 0) for n, charge in enumerate(self._charges)]
        values = self._values(solved, charges)
        worths = self._table.price(values)
        added = [
            self.add(self._ways(number, charge + WORTH_ADDING))
            for number, (worth, charge) in enumerate(zip(worths, charges, strict=True))
            if worth > charge + WORTH_ADDING
        ]
        prices = dict(zip(self.parts, values, strict=True))
        wanted = sum(prices[part] * count for part, count in self.parts.items())
        wanted += sum(least_worth(run, prices) * count for run, count in self.runs.items())
        rent = sum(rents[n] * (self.stocks[n].supply or 0) for n in rents)
        bound = (wanted / shrinkage(worths, charges) - rent) * self._unit / SCALE
        return Priced(prices, charges, bound, self._reach(solved), any(added))

    def sure(self, priced: Priced) -> Sure:
        """Prices of a round lowered until no sheet is worth over its charge.

        Of parts that are priced larger ones are worth no less than smaller ones.
        """
        names = [part for part, own in zip(self.parts, self._table.priced, strict=True) if own]
        worths = self._table.price(list(priced.prices.values()))
        shrunk = shrinkage(worths, priced.charges)
        prices = {
            part: max(
                int(priced.prices[one] / shrunk)
                for one in names
                if one.length <= part.length and one.width <= part.width
            )
            for part in names
        }
        own = [charge - cost for charge, cost in zip(priced.charges, self._charges, strict=True)]
        rent = sum(own[n] * (self.stocks[n].supply or 0) for n in self._supply)
        every = dict.fromkeys(self.parts, 0) | prices
        wanted = sum(every[part] * count for part, count in self.parts.items())
        wanted += sum(least_worth(run, every) * count for run, count in self.runs.items())
        return Sure(every, tuple(priced.charges), wanted - rent, self._unit)

    def _values(self, solved: Solved, charges: Sequence[int]) -> list[int]:
        """Prices of the parts, rounded down; nothing for what is not priced or comes for nothing.

        Where a sheet is free and without end, a part that fits it is worth nothing.
        """
        free = [number for number, charge in enumerate(charges) if not charge]
        return [
            max(0, int(solved.duals[row] * SCALE))
            if self._table.priced[k] and not any(self._table.holds(n, k) for n in free)
            else 0
            for k, row in enumerate(self._rows.values())
        ]

    def _ways(self, number: int, over: int) -> list[Cutup]:
        """The ways of cutting a stock that pay; of those on a raster, what truly fits as well."""
        trees = self._table.trees(number, over, TREES_A_ROUND)
        if not self._table.exact:
            stock = self.stocks[number]
            length, width = stock.length + self.kerf, stock.width + self.kerf
            trees += [fit for t in trees if (fit := fitted(t, length, width, self.kerf))]
        return [(number, tree) for tree in trees]

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

    def whole(self, nodes: int, below: int | None) -> list[Cutup] | None:
        """Whole numbers of the true ways at hand by branch and bound, at a cost under `below`.

        None if there are none, or none were found at so many `nodes`.
        """
        ways = self.likeliest()
        cutoff = inf if below is None else (below - 0.5 * step_of(self.stocks)) / self._unit
        numbers = self._programme.solve_whole([self._columns[one] for one in ways], nodes, cutoff)
        if numbers is None:
            return None
        return [cutup for cutup, number in zip(ways, numbers, strict=False) for _ in range(number)]

    def likeliest(self, under: float = inf) -> list[Cutup]:
        """The true ways that cost least over what their parts are worth, at most `MOST_WAYS`.

        None that are in no plan for less than `under`: the programme's own solution is dearer by
        then.
        """
        solved = self._programme.solve()
        true = [cutup for cutup in self._columns if self._true[cutup]]
        if solved is None:
            return true[:MOST_WAYS]
        over = {}
        for cutup in true:
            cost, entries = self._programme.columns[self._columns[cutup]]
            over[cutup] = cost - folded(solved.duals[row] * n for row, n in entries.items())
        most = under / self._unit - solved.objective + ERROR
        able = [cutup for cutup in true if over[cutup] <= most]
        return sorted(able, key=lambda cutup: (over[cutup], self._columns[cutup]))[:MOST_WAYS]


def shrinkage(worths: Sequence[int], charges: Sequence[int]) -> Fraction:
    """By how much prices must shrink so that no sheet is worth over its charge (Farley's bound)."""
    pairs = zip(worths, charges, strict=True)
    return max((Fraction(w, c) for w, c in pairs if w > c), default=Fraction(1))
