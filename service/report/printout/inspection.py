"""The inspection sheet on paper: hold point by hold point, with a box for what the site shows."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby
from typing import Any, Final, TypeAlias

from service.report.printout.columns import Setting, paragraph, table
from service.report.printout.lengths import Lengths

Answer: TypeAlias = Mapping[str, Any]

_BOXES: Final = {"met": "yes", "not_met": "NO", "not_checkable": "[ ]"}


def inspection(answer: Answer, lengths: Lengths) -> list[Setting]:
    """What is looked at before it is covered; a box where only the site shows it."""
    lines: list[Setting] = []
    for _, rows in groupby(answer["inspection"], key=_place):
        own = list(rows)
        lines += paragraph(_heading(own[0]), "  ")
        lines += table(("", ""), [[_BOXES[row["result"]], _words(row)] for row in own], "ll")
    return lines


def _place(row: Answer) -> tuple[str, str]:
    return str(row["surface"]), str(row["hold_point"])


def _heading(row: Answer) -> str:
    if row["surface"] is None:
        return "Products that no layer is made with:"
    before = "" if row["before"] is None else f", before it is covered by {row['before']}"
    return f"{row['surface']}, {row['hold_point']}{before}:"


def _words(row: Answer) -> str:
    printed = row["rule"] == "27.1"
    return f"{row['in_words']} ({row['product']}: {row['source']})" if printed else row["in_words"]
