"""Stock listed more than once in one length: what is at hand and what is bought, or two prices.

Rows that are alike for what the job is solved for are one stock, so that a plan and its bound are
those of one row; of the others the cheaper is used up first (8.9).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from math import inf

from service.cutting.records import Stock
from service.cutting.sheets.nesting import SheetStock
from service.products.layer import StockTask
from service.products.supply import supply_of
from service.schemas.stock import Stocked, StockRow

AnyStock = Stock | SheetStock


def pooled(stocks: Sequence[Stock], product: Stocked) -> tuple[Stock, ...]:
    """One stock for all rows of one length, cost and multiple, with the key of the first."""
    alike: dict[tuple[int, ...], list[Stock]] = defaultdict(list)
    for stock in stocks:
        alike[_likeness(stock, product)].append(stock)
    return tuple(replace(ones[0], supply=_together(ones)) for ones in alike.values())


def _likeness(stock: Stock, product: Stocked) -> tuple[int, ...]:
    row = product.rows[int(stock.key)]
    multiple = row.multiple or 1
    return stock.length, stock.cost, multiple, row.is_owned, stock.usable, *stock.spare


def _together(stocks: Sequence[Stock]) -> int | None:
    """How many there are of all; None where one is without limit."""
    supplies = [stock.supply for stock in stocks]
    return None if None in supplies else sum(supply or 0 for supply in supplies)


def cheapest_first(numbers: Sequence[int], stocks: Sequence[AnyStock]) -> tuple[int, ...]:
    """For each stick of a plan, by its stock's number, the cheapest stock as long that is left."""
    left = {k: inf if stock.supply is None else stock.supply for k, stock in enumerate(stocks)}
    as_long: dict[tuple[int, ...], list[int]] = defaultdict(list)
    for k in sorted(left, key=lambda k: stocks[k].cost):
        as_long[_size(stocks[k])].append(k)
    found = []
    for number in numbers:
        taken = next((k for k in as_long[_size(stocks[number])] if left[k] > 0), number)
        left[taken] -= 1
        found.append(taken)
    return tuple(found)


def _size(stock: AnyStock) -> tuple[int, ...]:
    """What sticks must have in common so that one does for another."""
    if isinstance(stock, SheetStock):
        return (stock.length,)
    return stock.length, stock.usable, *stock.spare


def saved(before: Sequence[int], after: Sequence[int], stocks: Sequence[AnyStock]) -> int:
    """What a plan costs less where its sticks are of other stocks, by their numbers."""
    return sum(stocks[a].cost - stocks[b].cost for a, b in zip(before, after, strict=True))


def rows_taken(
    task: StockTask, numbers: Sequence[int], stocks: Sequence[AnyStock], *, by_price: bool
) -> Counter[int]:
    """How many are taken of each row of the product's stock, by its number.

    `numbers` are the stocks of a plan's sticks, `by_price` whether prices are what they cost. Of
    rows that are one stock the lower price goes first, then what there are only so many of.
    """
    product = task.product
    found: Counter[int] = Counter()
    for number, count in Counter(numbers).items():
        first = int(stocks[number].key)
        left = count
        for k in _alike(product, first, by_price):
            supply = supply_of(task, product.rows[k])
            found[k] = left if supply is None else min(left, supply)
            left -= found[k]
        found[first] += left
    return +found


def _alike(product: Stocked, first: int, by_price: bool) -> list[int]:
    """The rows that are one stock with row `first`, in the order in which they are used up."""

    def likeness(row: StockRow) -> tuple[object, ...]:
        return (
            row.length,
            row.multiple or 1,
            row.is_owned,
            row.raw,
            row.price if by_price else None,
        )

    one = likeness(product.rows[first])
    rows = [k for k, row in enumerate(product.rows) if likeness(row) == one]
    return sorted(rows, key=lambda k: _rank(product.rows[k]))


def _rank(row: StockRow) -> tuple[Fraction | float, bool]:
    """What is at hand without a price is paid for; else a price that is not known comes last."""
    limited = row.on_hand is not None
    unknown = 0 if limited else inf
    return unknown if row.price is None else Fraction(row.price), not limited
