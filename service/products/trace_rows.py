"""Rows of the trace: how each figure of the order comes about, so that it can be worked again."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Annotated, ClassVar

from service.products.bought_rows import OrderRow
from service.schemas.columns import Count, Inside, Named, Text, Worded, computed


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceInput:
    """One number of a formula: its name there, what it is and where it is from."""

    name: Text
    value: Annotated[Text, "Exact: a decimal, or a fraction as `43/96`."]
    unit: Annotated[Text, "What it is in; empty for counts and shares."]
    source: Annotated[
        Text,
        Named("from"),
        """One figure of a line of the order: its formula, its inputs and its rule."""
        "a figure of this table.",
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceRow:
    """One figure of a line of the order: its formula, its inputs and its rule."""

    line: Annotated[Count, "Number of the line in `order`, from 1 on."]
    order: Inside[OrderRow]
    product: ClassVar[Text] = computed("order.product")
    item: ClassVar[Worded] = computed(lambda row: partial(_item, row))
    figure: Annotated[
        Text,
        "What is reckoned: a column of `order`, or a step on the way to one, as `with loss`.",
    ]
    formula: Annotated[
        Text,
        "In the names of the inputs, with + - * / and brackets; `ceil` and `floor` round to whole "
        "numbers, up and down.",
    ]
    inputs: tuple[TraceInput, ...]
    result: Annotated[Text, "Exact, as the inputs are."]
    unit: Annotated[Text, "What the result is in; empty for counts."]
    rule: Annotated[Text, "Number of the trade rule: `/v1/rules/{number}` says it."]
    table: Annotated[Text | None, "The table of the answer in which what was counted stands."]


def _item(row: TraceRow, unit: str) -> str:
    return row.order.item(unit)
