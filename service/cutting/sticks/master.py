"""The cutting programme: patterns priced by need, columns added while they pay.

`joints` adds its own rows and columns to the same programme, so that layout and cutting are
solved together. Bounds are taken in integers, from prices scaled until no pattern is worth more
than its stick costs; they do not rest on the linear programme's own numbers.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain, pairwise
from math import inf
from typing import TypeAlias

from service.cutting.records import Need, Pattern, Stock, fits
from service.cutting.sticks.bench import Bench, bench_for
from service.cutting.sticks.pricing import Priced, price
from service.solver.programme import Programme, Solved

SCALE = 1 << 20
PRICE_OF_MISSING = 1000


Pricing: TypeAlias = Callable[[Bench, Sequence[int], Sequence[int]], Priced]
"""Patterns that pay at prices of the needs and charges of the stocks, as `price` finds them."""


@dataclass(frozen=True, slots=True)
class Prices:
    """Prices of the needs as scaled integers, and what makes them safe.

    Divided by `shrink`, no stick of a stock without limit is worth more than it costs; a stick
    of short stock is worth at most its cost and its rent. Undivided, one of each stock is worth as
    much as is in `most`.
    """

    values: tuple[int, ...]
    shrink: Fraction
    rents: tuple[Fraction, ...]
    most: tuple[int, ...]

    def worth(self, wanted: int | Fraction, stocks: Sequence[Stock]) -> Fraction:
        """A bound on the cost, scaled, where `wanted` is what all needs are worth unshrunk."""
        short = zip(self.rents, stocks, strict=True)
        return wanted / self.shrink - sum(rent * (stock.supply or 0) for rent, stock in short)


@dataclass(frozen=True, slots=True)
class _Offered:
    """Prices of needs, less their last `bits`, and what sticks are worth at them."""

    values: tuple[int, ...]
    bits: int
    priced: Priced


class Master:
    """Patterns against needs: for each need, cut >= demand (+ what layouts use of it).

    `most` of each need in one pattern may be given where the demand is known before. Where needs
    stand for shorter ones too, `least` is the shortest length of each, from which bounds are taken.
    With `cut_to_least` patterns are too: they can not always be cut, but the bound is higher.
    `pricing` finds the patterns that pay at some prices, and what sticks are worth at most.
    """

    def __init__(
        self,
        stocks: Sequence[Stock],
        needs: Sequence[Need],
        kerf: int,
        most: Mapping[Need, int] | None = None,
        least: Mapping[Need, int] | None = None,
        cut_to_least: bool = True,
        pricing: Pricing = price,
    ) -> None:
        self._pricing = pricing
        self.stocks = tuple(stocks)
        self.kerf = kerf
        self.programme = Programme()
        self.rows: dict[Need, int] = {}
        self.patterns: dict[Pattern, int] = {}
        self._supply: dict[int, int] = {}
        self._counts: dict[int, int] = {}
        self._closed: set[int] = set()
        self.work = 0
        for number, stock in enumerate(self.stocks):
            if stock.supply is not None:
                self._supply[number] = self.programme.add_row(-inf, stock.supply)
        worst = PRICE_OF_MISSING * max(stock.cost for stock in self.stocks) + 1
        for need in needs:
            self.rows[need] = self.programme.add_row(0.0)
            self.programme.add_column(worst, {self.rows[need]: 1.0})
            self.add(self._plain(need, None if most is None else most[need]))
        copies = None if most is None else [most[need] for need in needs]
        lengths = None if least is None else [least[need] for need in self.rows]
        self.bench = bench_for(self.stocks, tuple(self.rows), kerf, copies, lengths, cut_to_least)
        self._apart = self.bench, self.patterns

    @property
    def supply_rows(self) -> Sequence[int]:
        """The rows of the stocks that are short, in their order."""
        return tuple(self._supply.values())

    def nest(self, least: Mapping[Need, int], *, cut_to_least: bool = True) -> None:
        """Price needs by the `least` of a stick that each takes, until `part` is called."""
        lengths = [least[need] for need in self.rows]
        rows = tuple(self.rows)
        self._apart = self.bench, self.patterns
        self.patterns = self.patterns.copy()
        self.bench = bench_for(self.stocks, rows, self.kerf, None, lengths, cut_to_least)

    def part(self) -> None:
        """Price needs by their own lengths again, without the patterns added since `nest`."""
        nested = self.patterns
        self.bench, self.patterns = self._apart
        for pattern, column in nested.items():
            if pattern not in self.patterns:
                self.programme.close(column)

    def let_longer_serve(self) -> None:
        """Let each piece serve as the next shorter one with such ends: its price is not under it.

        No plan is cheaper for that, and prices settle sooner where lengths are near each other.
        """
        alike: dict[tuple[int, ...], list[Need]] = defaultdict(list)
        for need in sorted(self.rows):
            alike[need[1:]].append(need)
        for shorter, longer in chain.from_iterable(map(pairwise, alike.values())):
            self.programme.add_column(0.0, {self.rows[longer]: -1.0, self.rows[shorter]: 1.0})

    def _plain(self, need: Need, most: int | None) -> Pattern | None:
        """As many of one need as the stick holds that gives them cheapest."""
        best: tuple[int, int, int] | None = None
        for number, stock in enumerate(self.stocks):
            if need.low_factory and need.high_factory and need.length != stock.usable:
                continue
            count = _most_alike(stock, need, self.kerf)
            count = min(count, 1) if need.low_factory or need.high_factory else count
            count = count if most is None else min(count, most)
            if count and (best is None or stock.cost * best[2] < best[0] * count):
                best = stock.cost, number, count
        return None if best is None else Pattern(best[1], ((need, best[2]),))

    def add(self, pattern: Pattern | None) -> bool:
        """Add a pattern once; tells whether it was new."""
        if pattern is None or not pattern.pieces or pattern in self.patterns:
            return False
        entries = {self.rows[need]: float(count) for need, count in pattern.pieces}
        if pattern.stock in self._supply:
            entries[self._supply[pattern.stock]] = 1.0
        if pattern.stock in self._counts:
            entries[self._counts[pattern.stock]] = 1.0
        cost = self.stocks[pattern.stock].cost
        self.patterns[pattern] = self.programme.add_column(cost, entries)
        return True

    def count(self) -> Sequence[int]:
        """Rows that count the sticks of each stock from now on, open at both sides."""
        columns = defaultdict[int, list[int]](list)
        for pattern, column in self.patterns.items():
            columns[pattern.stock].append(column)
        for number in range(len(self.stocks)):
            entries = dict.fromkeys(columns[number], 1.0)
            self._counts[number] = self.programme.add_row(-inf, inf, entries)
        return list(self._counts.values())

    def demand(self, needs: Mapping[Need, float], spent: Mapping[int, int] | None = None) -> None:
        """Ask for `needs`, and for nothing else; `spent` sticks of short stock are gone."""
        for number, row in self._supply.items():
            supply = self.stocks[number].supply or 0
            self.programme.set_row(row, -inf, supply - (spent or {}).get(number, 0))
        for need, row in self.rows.items():
            self.programme.set_row(row, needs.get(need, 0))

    def close_beyond(self, left: Mapping[Need, int]) -> None:
        """Use no more patterns that hold more of a need than is left; what is left only shrinks."""
        for pattern, column in self.patterns.items():
            if column not in self._closed and any(
                count > left.get(need, 0) for need, count in pattern.pieces
            ):
                self._closed.add(column)
                self.programme.close(column)

    def open(self) -> None:
        """Use every pattern again."""
        for column in sorted(self._closed):
            self.programme.open(column)
        self._closed.clear()

    def bench_of(self, most: Mapping[Need, int]) -> Bench:
        """The bench for a part of the needs: no pattern with more than what is left of them."""
        return replace(self.bench, most=tuple(most.get(need, 0) for need in self.rows))

    def generate(self, solved: Solved, bench: Bench | None = None) -> tuple[bool, Prices]:
        """Add the patterns that pay; tells whether any was new, and gives sure prices.

        The prices are sure for the bench's own `most` of each need.
        """
        offered = self._offered(solved, bench)
        return self._added(offered), self._sure(offered)

    def sure(self, solved: Solved) -> Prices:
        """Sure prices by those of a solution; no pattern is added."""
        return self._sure(self._offered(solved))

    def grown(self, solved: Solved, bench: Bench) -> bool:
        """Add the patterns of a bench that pay; tells whether any was new."""
        return self._added(self._offered(solved, bench))

    def _offered(self, solved: Solved, bench: Bench | None = None) -> _Offered:
        """The patterns that pay at the prices of a solution."""
        self.work += 1
        bench = bench or self.bench
        values = [max(0, int(solved.duals[row] * SCALE)) for row in self.rows.values()]
        slack = SCALE // 100_000
        charges = [
            stock.cost * SCALE + self._rent(solved, number) + slack
            for number, stock in enumerate(self.stocks)
        ]
        # Bounds are sure at any prices: those that would overflow are cut by their last bits.
        bits = bench.excess(values)
        cut = tuple(value >> bits for value in values)
        priced = self._pricing(bench, cut, [-(-charge >> bits) for charge in charges])
        return _Offered(cut, bits, priced)

    def _added(self, offered: _Offered) -> bool:
        """Add patterns; tells whether any was new."""
        new = [self.add(pattern) for pattern in offered.priced.patterns]
        return any(new)

    def priced(self, rounds: int) -> tuple[Solved | None, Prices | None]:
        """The solution once no pattern pays, or after so many rounds, and its sure prices."""
        solved, offered = self._generated(rounds)
        return solved, None if offered is None else self._sure(offered)

    def settled(self, rounds: int) -> Solved | None:
        """The solution once no pattern pays, or after so many rounds."""
        return self._generated(rounds)[0]

    def _generated(self, rounds: int) -> tuple[Solved | None, _Offered | None]:
        solved, offered = self.programme.solve(), None
        for _ in range(rounds):
            if solved is None:
                break
            offered = self._offered(solved)
            if not self._added(offered):
                break
            solved = self.programme.solve()
        return solved, offered

    def _rent(self, solved: Solved, number: int) -> int:
        row, counted = self._supply.get(number), self._counts.get(number)
        rent = 0 if row is None else max(0, int(-solved.duals[row] * SCALE) + 1)
        return rent if counted is None else rent - int(solved.duals[counted] * SCALE)

    def _sure(self, offered: _Offered) -> Prices:
        """By how much prices must shrink, and the rents that short supply then needs."""
        values = tuple(value << offered.bits for value in offered.values)
        most = [most << offered.bits for most in offered.priced.most]
        if any(stock.supply is None and not stock.cost for stock in self.stocks):
            none = (0,) * len(most)
            return Prices((0,) * len(values), Fraction(1), tuple(map(Fraction, none)), none)
        worst = [
            Fraction(value, stock.cost * SCALE)
            for value, stock in zip(most, self.stocks, strict=True)
            if stock.supply is None
        ]
        shrink = max([Fraction(1), *worst])
        rents = tuple(
            max(Fraction(0), value / shrink - stock.cost * SCALE)
            if stock.supply is not None
            else Fraction(0)
            for value, stock in zip(most, self.stocks, strict=True)
        )
        return Prices(values, shrink, rents, tuple(most))

    def used(self, solved: Solved) -> list[tuple[Pattern, float]]:
        """Patterns in the solution and how many sticks of each, a fraction."""
        return [
            (pattern, solved.values[column])
            for pattern, column in self.patterns.items()
            if solved.values[column] > 1e-9
        ]


def _most_alike(stock: Stock, need: Need, kerf: int) -> int:
    """How many pieces of one need a stick holds."""
    count = (stock.reach + kerf) // (need.length + kerf)
    sure = (stock.usable + kerf) // (need.length + kerf)
    while count > sure and not fits(need.length * count, count, kerf, stock.room({need: count})):
        count -= 1
    return count
