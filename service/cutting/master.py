"""The cutting programme: patterns priced by need, columns added while they pay.

`joints` adds its own rows and columns to the same programme, so that layout and cutting are
solved together. Bounds are taken in integers, from prices scaled until no pattern is worth more
than its stick costs; they do not rest on the linear programme's own numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import inf

from service.cutting.knapsack import bench_for, price
from service.cutting.records import Need, Pattern, Stock, fits
from service.solver.programme import Programme, Solved

SCALE = 1 << 20
PRICE_OF_MISSING = 1000


class Master:
    """Patterns against needs: for each need, cut >= demand (+ what layouts use of it)."""

    def __init__(
        self, stocks: Sequence[Stock], needs: Sequence[Need], kerf: int, slack: int = 0
    ) -> None:
        self.stocks = tuple(stocks)
        self.kerf = kerf
        self.slack = slack
        self.programme = Programme()
        self.rows: dict[Need, int] = {}
        self.patterns: dict[Pattern, int] = {}
        self._supply: dict[int, int] = {}
        self.work = 0
        for number, stock in enumerate(self.stocks):
            if stock.supply is not None:
                self._supply[number] = self.programme.add_row(-inf, stock.supply)
        worst = PRICE_OF_MISSING * max(stock.cost for stock in self.stocks) + 1
        for need in needs:
            self.rows[need] = self.programme.add_row(0.0)
            self.programme.add_column(worst, {self.rows[need]: 1.0})
            self.add(self._plain(need))
        self.bench = bench_for(self.stocks, tuple(self.rows), kerf, slack)

    def _plain(self, need: Need) -> Pattern | None:
        """As many of one need as the stick holds that gives them cheapest."""
        found = []
        for number, stock in enumerate(self.stocks):
            if need.low_factory and need.high_factory and need.length != stock.usable:
                continue
            count = (stock.usable + self.kerf) // (need.length + self.kerf)
            count = min(count, 1) if need.low_factory or need.high_factory else count
            if count:
                found.append((Fraction(stock.cost, count), number, count))
        if not found:
            return None
        _, number, count = min(found)
        return Pattern(number, ((need, count),))

    def add(self, pattern: Pattern | None) -> bool:
        """Add a pattern once; tells whether it was new."""
        if pattern is None or not pattern.pieces or pattern in self.patterns:
            return False
        entries = {self.rows[need]: float(count) for need, count in pattern.pieces}
        if pattern.stock in self._supply:
            entries[self._supply[pattern.stock]] = 1.0
        cost = self.stocks[pattern.stock].cost
        self.patterns[pattern] = self.programme.add_column(cost, entries)
        return True

    def demand(self, needs: Mapping[Need, int], spent: Mapping[int, int] | None = None) -> None:
        """Ask for `needs`, and for nothing else; `spent` sticks of short stock are gone."""
        for number, row in self._supply.items():
            supply = self.stocks[number].supply or 0
            self.programme.set_row(row, -inf, supply - (spent or {}).get(number, 0))
        for need, row in self.rows.items():
            self.programme.set_row(row, needs.get(need, 0))

    def values(self, solved: Solved) -> list[int]:
        """Prices of the needs as scaled integers, rounded down."""
        return [max(0, int(solved.duals[row] * SCALE)) for row in self.rows.values()]

    def charges(self, solved: Solved) -> list[int]:
        """What one stick of each stock may be worth: its cost and the rent of short supply."""
        return [
            stock.cost * SCALE + self._rent(solved, number)
            for number, stock in enumerate(self.stocks)
        ]

    def _rent(self, solved: Solved, number: int) -> int:
        row = self._supply.get(number)
        return 0 if row is None else max(0, int(-solved.duals[row] * SCALE) + 1)

    def generate(self, solved: Solved) -> bool:
        """Add the patterns that pay at these prices; tells whether any was new."""
        self.work += 1
        priced = price(self.bench, self.values(solved), sure=True)
        charges = self.charges(solved)
        slack = SCALE // 100_000
        added = [
            self.add(pattern)
            for (value, pattern), charge in zip(priced, charges, strict=True)
            if value > charge + slack
        ]
        return any(added)

    def shrinkage(self, solved: Solved) -> Fraction:
        """By how much the scaled prices must shrink so that no stick is worth over its charge."""
        priced = price(self.bench, self.values(solved), sure=False)
        charges = self.charges(solved)
        worst = [
            Fraction(value, charge) if charge else Fraction(value + 1)
            for (value, _), charge in zip(priced, charges, strict=True)
            if value > charge
        ]
        return max(worst, default=Fraction(1))

    def rents(self, solved: Solved) -> int:
        """What short supply takes off a bound, scaled."""
        return sum(
            self._rent(solved, number) * (self.stocks[number].supply or 0)
            for number in self._supply
        )

    def used(self, solved: Solved) -> list[tuple[Pattern, float]]:
        """Patterns in the solution and how many sticks of each, a fraction."""
        return [
            (pattern, solved.values[column])
            for pattern, column in self.patterns.items()
            if solved.values[column] > 1e-9
        ]


def can_be_cut(pattern: Pattern, stocks: Sequence[Stock], kerf: int) -> bool:
    """Whether a pattern fits its stick, by the rule itself."""
    lengths = sum(need.length * count for need, count in pattern.pieces)
    pieces = sum(count for _, count in pattern.pieces)
    return fits(lengths, pieces, kerf, stocks[pattern.stock].usable)
