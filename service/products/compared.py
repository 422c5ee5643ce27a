"""What usual ways of ordering would have bought: the rows, and how they are told in words."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Annotated, ClassVar, Literal

from service.schemas.columns import (
    PLAIN,
    Amount,
    Count,
    Inside,
    Length,
    Money,
    Named,
    Percent,
    Text,
    Worded,
    computed,
)
from service.units.writing import counted, stock_length, total_length


@dataclass(frozen=True, slots=True, kw_only=True)
class AsYouGo:
    """What cutting course by course would order: sticks of one length (ticks), price, joints."""

    sticks: int
    stock: int
    cost: float | None
    joints: int
    in_courses: bool
    """Whether it is boards in courses that are cut so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedRow:
    """What usual ways of ordering would have bought of the same product.

    Cut as you go: one stock length, course by course, each offcut starts the next course, all
    rules of joints kept; culls and spares as in this order. Null where that cannot be.
    """

    product: Text
    flat_pct: Percent
    measured_in: Annotated[Literal["length", "sheets", "rolls"], PLAIN] = "length"
    would_order: Annotated[Amount, "By the flat percentage, on the drawn area."]
    would_cost: Annotated[Money | None, "At the price lowest by the length."] = None
    bought: Amount
    cost: Annotated[Money | None, "Of what is bought; null without prices."] = None
    joints: Annotated[Count, "Field joints of boards in this plan."] = 0
    wrong_by: ClassVar[Annotated[Amount, "Flat order less the true need; negative is short."]] = (
        computed(lambda row: row.would_order - row.bought)
    )
    as_you_go: Inside[AsYouGo | None] = None
    usual: ClassVar[
        Annotated[Length | None, Named("as_you_go"), "Length that cutting as you go would order."]
    ] = computed(lambda row: row.as_you_go and row.as_you_go.sticks * row.as_you_go.stock)
    as_you_go_from: ClassVar[Annotated[Length | None, "The stock length that it takes."]] = (
        computed("as_you_go.stock")
    )
    as_you_go_cost: ClassVar[Money | None] = computed("as_you_go.cost")
    as_you_go_joints: ClassVar[Annotated[Count | None, "Field joints that it makes."]] = computed(
        "as_you_go.joints"
    )
    in_words: ClassVar[Worded] = computed(lambda row: partial(compared_in_words, row))


def compared_in_words(row: ComparedRow, unit: str) -> str:
    """A flat percentage and cutting as you go beside the order, with prices where all have one."""
    wrong = row.would_order - row.bought
    verdict = f"{_amount(row, abs(wrong), unit)} {'more than is needed' if wrong > 0 else 'short'}"
    words = (
        f"A flat {row.flat_pct:g} % would order {_amount(row, row.would_order, unit)}, "
        f"{verdict if wrong else 'just enough'}; this order buys {_amount(row, row.bought, unit)}."
    )
    return words if row.as_you_go is None else f"{words} {_as_you_go(row, row.as_you_go, unit)}"


def _as_you_go(row: ComparedRow, usual: AsYouGo, unit: str) -> str:
    more = usual.sticks * usual.stock - row.bought
    verdict = (
        "as much"
        if more == 0
        else (f"{total_length(abs(more), unit)} {'more' if more > 0 else 'less'}")
    )
    goes_on = "starting the next course" if usual.in_courses else "cut up before the next stick"
    words = (
        f"Cut as you go, each offcut {goes_on}, it would be "
        f"{usual.sticks} of {stock_length(usual.stock, unit)}, {verdict}"
    )
    if usual.joints or row.joints:
        words += f", with {counted(usual.joints, 'joints')} in place of {row.joints}"
    if usual.cost is None or row.cost is None:
        return f"{words}."
    return f"{words}, for {usual.cost:,.2f} in place of {row.cost:,.2f}."


def _amount(row: ComparedRow, value: int, unit: str) -> str:
    """A length, or a number of sheets or rolls."""
    if row.measured_in == "length":
        return total_length(value, unit)
    return counted(value, row.measured_in)
