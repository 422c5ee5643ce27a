"""The lengths that a product can be bought in, costed for what the job is solved for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import reduce
from math import gcd, lcm
from typing import Protocol, TypeVar

from service.cutting.records import Stock
from service.cutting.sheets.nesting import SheetStock
from service.errors import Cure, Fault, TradeRefused
from service.products.layer import StockTask
from service.products.same_length import pooled
from service.products.supplied import SearchSettings
from service.products.supply import supply_of, to_buy
from service.schemas.stock import Stocked, StockRow
from service.units.writing import feet_of_stock


@dataclass(frozen=True, slots=True)
class Objective:
    """What is minimised, and how its integer cost is read: `cost` / `per` in `measured_in`.

    Where sticks or joints are counted, each stick adds up to `unit` for its length.
    """

    name: str
    measured_in: str
    per: int
    joint_cost: int = 0
    unit: int = 0


class Trimming(Protocol):
    """What is trimmed off the sticks of a product."""

    def off(self, raw: tuple[bool, bool]) -> int:
        """What a stick loses of its length at most; `raw` are its ends that the mill left."""

    def trimmed(self, stock: Stock, raw: tuple[bool, bool] = (True, True)) -> Stock:
        """A stock with what its ends lose off its length; `raw` are those that the mill left."""


@dataclass(frozen=True, slots=True)
class StartTrim:
    """A stick is squared at the end that it is sawn from, by so many ticks; a cut end is square."""

    start: int

    def off(self, raw: tuple[bool, bool]) -> int:
        """Nothing where one of its ends is cut: it is sawn from there (17.2)."""
        return self.start if all(raw) else 0

    def trimmed(self, stock: Stock, raw: tuple[bool, bool] = (True, True)) -> Stock:
        """A stock less the squaring of its start."""
        return replace(stock, usable=stock.length - self.off(raw))


@dataclass(frozen=True, slots=True)
class Trims:
    """What is trimmed off a raw end of a stick (ticks): one at a `joint`, or one that is covered.

    `turned`: pieces may be turned end for end, so that either end of one may lie at a raw end.
    """

    joint: int
    wall: int
    turned: bool = False

    @property
    def spares_walls(self) -> bool:
        """Whether a covered end takes less than one at a joint."""
        return self.wall < self.joint

    @property
    def spares_joints(self) -> bool:
        """Whether an end at a joint takes less than a covered one."""
        return self.joint < self.wall

    def spares(self, *, covered: bool) -> bool:
        """Whether an end, covered or not, takes less than one that is the other."""
        return self.spares_walls if covered else self.spares_joints

    def off(self, raw: tuple[bool, bool]) -> int:
        """The more that a raw end takes, for each that is raw (8.1)."""
        return max(self.joint, self.wall) * raw.count(True)

    def trimmed(self, stock: Stock, raw: tuple[bool, bool] = (True, True)) -> Stock:
        """A stock with the trims of its raw ends off its length, and what they give back."""
        most, least = max(self.joint, self.wall), min(self.joint, self.wall)
        low, high = raw
        spare = (most - least) * low, (most - least) * high
        usable = stock.length - self.off(raw)
        return replace(stock, usable=usable, spare=spare, turned=self.turned)


def longest_cut(rows: Iterable[StockRow], trims: Trimming) -> int:
    """The longest piece that is cut of any of these lengths: less what its raw ends lose (8.1)."""
    return max(row.length - trims.off(row.raw) for row in rows)


UNTRIMMED = Trims(0, 0)
"""Of what has no raw ends."""

NO_PRICE = Fraction(0)

MANY = 1_000
"""What is counted weighs so many of the dearest stocks, so that it goes before what they cost."""

BY_LENGTH = ("least_length", "fewest_lengths")
"""Objectives that add up lengths."""


def objective_of(task: StockTask, settings: SearchSettings) -> str:
    """What the job is solved for: as asked, or by price where every length has one (8.8)."""
    priced = all(one.price is not None for one in task.product.stock)
    name = settings.objective or ("least_cost" if priced else "least_length")
    if name == "least_cost" and not priced:
        raise TradeRefused(
            Fault(
                "price-missing",
                "least_cost needs a price for every stock length",
                "/objective",
                cure=Cure("/objective", "least_length"),
                rule="8.8",
            )
        )
    return name


def stocks_of(
    task: StockTask, trims: Trimming, settings: SearchSettings, joint: Fraction = NO_PRICE
) -> tuple[tuple[Stock, ...], Objective]:
    """The lengths that can be taken, shortest first, costed for the objective asked for (8.8).

    What is owned costs nothing, whatever is counted.

    The order in which they were listed plays no part. `joint` is what a field joint counts for:
    money, or ticks of length (6.7).
    """
    product = task.product
    bought, objective = _costs(product, objective_of(task, settings), joint)
    costs = [*bought, *(0 for row in product.rows if row.is_owned)]
    stocks = [
        replace(trims.trimmed(_stock(task, k, row, cost), row.raw), owned=row.is_owned)
        for k, (row, cost) in enumerate(zip(product.rows, costs, strict=True))
    ]
    usable = [stock for stock in stocks if stock.usable > 0]
    return tuple(in_order(pooled(usable, product))), objective


def _stock(task: StockTask, number: int, row: StockRow, cost: int) -> Stock:
    """A row of stock by its number, with raw ends that are not trimmed yet."""
    return Stock(str(number), row.length, row.length, cost, supply_of(task, row))


AnyStock = TypeVar("AnyStock", Stock, SheetStock)


def in_order(stocks: Iterable[AnyStock]) -> list[AnyStock]:
    """Stock in the one order in which plans are made, however the request lists it."""
    return sorted(
        stocks, key=lambda one: (one.length, one.cost, one.supply is None, one.supply or 0)
    )


def _costs(product: Stocked, name: str, joint: Fraction) -> tuple[list[int], Objective]:
    lengths = [one.length for one in product.stock]
    step = reduce(gcd, lengths, int(joint) if name in BY_LENGTH else 0)
    units = [length // step for length in lengths]
    if name == "least_cost":
        prices = [one.price for one in product.stock if one.price is not None]
        scale = reduce(lcm, (price.denominator for price in (*prices, joint)), 1)
        costs = [int(price * scale) for price in prices]
        return costs, Objective(name, "money", scale, int(joint * scale))
    if name == "fewest_sticks":
        many = MANY * max(units)
        return [many + unit for unit in units], Objective(name, "sticks", many, unit=max(units))
    if name == "fewest_joints":
        many = MANY * max(units)
        return units, Objective(name, "joints", many, many, max(units))
    return units, Objective(name, "length", step, int(joint) // step)


def stock_short(
    task: StockTask,
    stocks: Sequence[Stock | SheetStock],
    goods: str,
    needed: Callable[[int], int | None],
) -> TradeRefused:
    """The stock at hand does not reach: how many of which length would, the longest first (8.9).

    `needed` says how many of a stock (by its number) a plan takes if that one had no limit; None
    where even that gives no plan.
    """
    for number, stock in sorted(enumerate(stocks), key=lambda one: -one[1].length):
        limited = stock.supply is not None and not is_owned(task, stock)
        count = needed(number) if limited else None
        if count is not None:
            return short_of(task, stock, goods, count, proved=False)
    return none_reaches(task, goods)


def is_owned(task: StockTask, stock: Stock | SheetStock) -> bool:
    """Whether a stock need not be bought."""
    return task.product.rows[int(stock.key)].is_owned


def short_of(
    task: StockTask, stock: Stock | SheetStock, goods: str, count: int, *, proved: bool
) -> TradeRefused:
    """A plan takes `count` of a stock: so many more must be at hand, culls and spares with them.

    `proved`: no plan does with fewer.
    """
    number = int(stock.key)
    one = task.product.rows[number]
    beside = (stock.supply or 0) - (supply_of(task, one) or 0)  # of rows that are the same stock
    wanted = to_buy(task, one, count - beside).buy
    assert one.on_hand is not None, "stock without a limit is never short"
    at = f"{task.product_pointer}/stock/{number}/on_hand"
    text = (
        f"you are short of {goods}: {wanted - one.on_hand} more of "
        f"{feet_of_stock(stock.length, task.unit)} would do, {wanted} in all"
        f"{', and no fewer' if proved else ''}"
    )
    return TradeRefused(Fault("stock-short", text, at, cure=Cure(at, wanted), rule="8.9"))


def none_reaches(task: StockTask, goods: str) -> TradeRefused:
    """No plan was found whatever there is of any one length."""
    text = f"no plan was found with the {goods} at hand"
    return TradeRefused(Fault("stock-short", text, f"{task.product_pointer}/stock", rule="8.9"))
