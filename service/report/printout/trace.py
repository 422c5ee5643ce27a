"""How each figure of the order comes about, on paper: line by line, to be worked again."""

from __future__ import annotations

from itertools import groupby

from service.report.printout.columns import Setting, blank, paragraph
from service.report.printout.lengths import Lengths
from service.report.printout.rows import Row


def trace(answer: Row, lengths: Lengths) -> list[Setting]:
    """Each line of the order with its figures; nothing where no trace was asked for."""
    found: list[Setting] = []
    lines = groupby(answer.get("trace", ()), lambda row: (row["line"], row["item"]))
    for (line, item), rows in lines:
        found += [*(blank() if found else []), *paragraph(f"{line}. {item}", "  ")]
        for row in rows:
            found += paragraph(_sentence(row), "     ")
    return found


def _sentence(row: Row) -> str:
    """`buy 1000 = floor(packages * each); packages = 1, each = 1000 (what one holds) [19.1]`."""
    figure = row["figure"].replace("_", " ")
    return (
        f"{figure}: {_valued(row['result'], row['unit'])} = {row['formula']}; "
        f"{_numbers(row)} [{row['rule']}]"
    )


def _numbers(row: Row) -> str:
    """Each number of a formula, and where it is from if that is no figure above."""
    return ", ".join(
        f"{one['name']} = {_valued(one['value'], one['unit'])}"
        + ("" if one["from"] == f"figure {one['name']}" else f" ({one['from']})")
        for one in row["inputs"]
    )


def _valued(value: str, unit: str) -> str:
    return f"{_short(value)} {unit}".strip()


def _short(value: str) -> str:
    """An exact number, or to four places where it is a fraction that does not end."""
    if "/" not in value:
        return value
    above, below = map(int, value.split("/"))
    return f"{above / below:.4f}"
