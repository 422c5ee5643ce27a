"""The lengths that a product can be bought in, costed for what the job is solved for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from math import gcd, lcm
from typing import Any

from service.cutting.records import Stock
from service.errors import Cure, Fault, TradeRefused
from service.products.kind import Settings


@dataclass(frozen=True, slots=True)
class Objective:
    """What is minimised, and how its integer cost is read: `cost` / `per` in `measured_in`."""

    name: str
    measured_in: str
    per: int
    joint_cost: int = 0


def stocks_of(
    product: Any, end_trim: int, settings: Settings
) -> tuple[tuple[Stock, ...], Objective]:
    """The lengths that can be bought, costed for the objective asked for (8.8)."""
    priced = all(one.price is not None for one in product.stock)
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
    costs, objective = _costs(product, name)
    stocks = tuple(
        Stock(str(k), one.length, one.length - 2 * end_trim, cost, _supply(one))
        for k, (one, cost) in enumerate(zip(product.stock, costs, strict=True))
        if one.length > 2 * end_trim
    )
    return stocks, objective


def _supply(one: Any) -> int | None:
    """Sticks that can be had, in whole multiples; None without limit."""
    if one.on_hand is None:
        return None
    multiple: int = one.multiple or 1
    return int(one.on_hand) // multiple * multiple


def _costs(product: Any, name: str) -> tuple[list[int], Objective]:
    lengths = [one.length for one in product.stock]
    step = reduce(gcd, lengths)
    units = [length // step for length in lengths]
    if name == "least_cost":
        prices = [Fraction(one.price) for one in product.stock]
        scale = reduce(lcm, (price.denominator for price in prices), 1)
        return [int(price * scale) for price in prices], Objective(name, "money", scale)
    if name == "fewest_sticks":
        many = 1_000 * max(units)
        return [many + unit for unit in units], Objective(name, "sticks", many)
    if name == "fewest_joints":
        return units, Objective(name, "joints", 1_000 * max(units), 1_000 * max(units))
    return units, Objective(name, "length", step)
