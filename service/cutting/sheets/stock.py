"""Sheets that can be bought, and what plans of them cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from math import gcd

from service.cutting.sheets.trees import Tree
from service.units.ticks import ceiling

MOST_SUMS = 1 << 20

Cutup = tuple[int, Tree]
"""A stock's number and how one sheet of it is cut."""


@dataclass(frozen=True, slots=True)
class SheetStock:
    """One size of sheet that can be bought; `supply` is how many there are, None without limit.

    `width` is what parts may take of it: it is wider by a `trim`, ripped off an edge first.
    """

    key: str
    length: int
    width: int
    cost: int
    supply: int | None = None
    trim: int = 0


def step_of(stocks: Sequence[SheetStock]) -> int:
    """The common divisor of the costs: no two plans differ by less."""
    return reduce(gcd, (stock.cost for stock in stocks)) or 1


def attainable(bound: Fraction, stocks: Sequence[SheetStock]) -> int:
    """The least sum of sheets' costs, within the supply, that is not under `bound`.

    Where costs are too fine to list their sums: the next multiple of their common divisor.
    """
    step = step_of(stocks)
    least = max(0, ceiling(bound / step))
    most = least + max(stock.cost for stock in stocks) // step
    reached = _sums(stocks, step, most) >> least if most <= MOST_SUMS else 1
    return (least + max(0, (reached & -reached).bit_length() - 1)) * step


def below(cost: int, stocks: Sequence[SheetStock]) -> int:
    """The greatest sum of sheets' costs, within the supply, that is under `cost`.

    Where costs are too fine to list their sums: the next multiple of their common divisor.
    """
    step = step_of(stocks)
    most = max(0, -(-cost // step) - 1)
    return (_sums(stocks, step, most).bit_length() - 1 if most <= MOST_SUMS else most) * step


def _sums(stocks: Sequence[SheetStock], step: int, most: int) -> int:
    """Costs in steps up to `most` that some number of sheets comes to, a bit for each."""
    sums = 1
    for cost, supply in ((stock.cost // step, stock.supply) for stock in stocks if stock.cost):
        left = most // cost if supply is None else min(supply, most // cost)
        times = 1
        while left > 0:
            times = min(times, left)
            sums |= sums << times * cost
            left -= times
            times *= 2
        sums &= (2 << most) - 1
    return sums


def cost_of(plan: Sequence[Cutup], stocks: Sequence[SheetStock]) -> int:
    """What the sheets of a plan cost."""
    return sum(stocks[number].cost for number, _ in plan)
