"""Rests that are worth something: each length of rest as a stock of its own (8.4, 8.8).

A stick of which a rest is kept costs less by the rest's value and is shorter by the rest and the
cut before it. So a plan that leaves useful rests is an ordinary plan from more stocks, and its
bound is as sure as any.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from service.cutting.records import Stock

MOST_RESTS, MOST_IN_ALL = 20, 120
"""Rests that one stock can have, and all stocks together; longer stock and more of it is valued by
steps so much longer."""


@dataclass(frozen=True, slots=True)
class RestValue:
    """What rests count for: `percent` of their price by the length, by whole `step`s (ticks).

    Rests shorter than `keep` are worth nothing.
    """

    percent: Fraction
    step: int
    keep: int

    def of(self, stock: Stock, rest: int) -> int:
        """The value of a rest of a stick, rounded down, in the unit of the stock's cost."""
        return int(Fraction(stock.cost * rest, stock.length) * self.percent / 100)


def with_rests(
    stocks: Sequence[Stock], kerf: int, value: RestValue
) -> tuple[tuple[Stock, ...], tuple[int, ...]]:
    """The stocks, and each without limit once more for every rest of value.

    Also the number of the stock that each of them is.
    """
    found = list(enumerate(stocks))
    most = min(MOST_RESTS, max(1, MOST_IN_ALL // max(1, len(stocks))))
    for number, stock in enumerate(stocks):
        if stock.supply is not None:
            continue
        step = value.step * max(1, -(-stock.usable // (value.step * most)))
        first = -(-max(value.keep, 1) // step) * step
        for rest in range(first, stock.usable - kerf, step):
            cost = stock.cost - value.of(stock, rest)
            usable = stock.usable - kerf - rest
            found.append((number, replace(stock, usable=usable, cost=cost, kept=rest)))
    return tuple(stock for _, stock in found), tuple(number for number, _ in found)
