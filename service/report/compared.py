"""What usual ways of ordering would have bought, in words."""

from __future__ import annotations

from service.products.rows import AsYouGo, ComparedRow
from service.units.writing import counted, stock_length, total_length


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
    words = (
        "Cut as you go, each offcut starting the next course, it would be "
        f"{usual.sticks} of {stock_length(usual.stock, unit)}, {verdict}"
    )
    if usual.cost is None or row.cost is None:
        return f"{words}."
    return f"{words}, for {usual.cost:,.2f} in place of {row.cost:,.2f}."


def _amount(row: ComparedRow, value: int, unit: str) -> str:
    """A length, or a number of sheets or rolls."""
    if row.measured_in == "length":
        return total_length(value, unit)
    return counted(value, row.measured_in)
