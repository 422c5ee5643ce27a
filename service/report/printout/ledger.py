"""Where all that is bought goes, on paper: the accounts of each product."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby
from typing import Any, Final, TypeAlias

from service.report.printout.columns import Setting, blank, table
from service.report.printout.lengths import Lengths, area_unit, fixed, volume
from service.units.folding import folded

Answer: TypeAlias = Mapping[str, Any]

_ACCOUNTS: Final = {
    "installed": "installed, showing",
    "lap_or_tongue": "tongue or lap, hidden",
    "rip": "ripped off",
    "notch": "cut out for openings",
    "mitre": "cut off at angle cuts",
    "crosscut": "cut off square",
    "kerf": "saw kerfs",
    "end_trim": "ends trimmed",
    "short_offcut": "scrap",
    "offcut_kept": "offcuts kept",
    "cull": "culls",
    "spare": "spares",
    "surplus": "surplus of packages",
    "owned": "less your own",
}


def ledger(answer: Answer, lengths: Lengths) -> list[Setting]:
    """Every account of each product that is not empty, with its share of all that is taken."""
    sheets = {row["product"] for row in answer["sheets"]}
    lines: list[Setting] = []
    for product, rows in groupby(answer["ledger"], key=lambda row: row["product"]):
        entries = [{**row, "length": None} if product in sheets else row for row in rows]
        lines += [
            *(blank() if lines else []),
            *_accounts(answer["units"], product, entries, lengths),
        ]
    return lines


def _accounts(units: Answer, product: str, rows: list[Answer], lengths: Lengths) -> list[Setting]:
    """The accounts of one product: by area, as length of stock, and as shares of all of it.

    What is the caller's own is all of it too, and no part of what is bought.
    """
    if rows[0]["measure"] == "volume":
        return _liquid(units, product, rows)
    bought = sum(int(row["amount"]) for row in rows)
    taken = bought - sum(int(row["amount"]) for row in rows if row["account"] == "owned")
    cells = [_ledger_cells(row, taken, lengths) for row in rows if _is_shown(row)]
    areas, along = (
        [row[one] for row in rows if row[one] is not None] for one in ("area", "length")
    )
    cells.append(["bought", fixed(folded(areas)) if areas else "",
                  lengths.total(folded(along)) if any(along) else "",
                  fixed(100 * bought / taken if taken else 100.0, 1)])  # fmt: skip
    heads = (product, area_unit(units), "as stock" if areas else "length", "%")
    return table(heads, cells, "l")


_LIQUID: Final = {
    "installed": "on the work",
    "lost": "lost in tubes and nozzles",
    "surplus": "left over",
    "owned": "less your own",
}
"""What becomes of a liquid."""


def _liquid(units: Answer, product: str, rows: list[Answer]) -> list[Setting]:
    """The accounts of a liquid, by volume."""
    unit = units["volume"]
    bought = folded(row["volume"] for row in rows)
    cells = [[_LIQUID[row["account"]], volume(row["volume"], unit)] for row in rows]
    return table((product, "takes"), [*cells, ["bought", volume(bought, unit)]], "l")


_ROUNDING: Final = ("fit", "snap")
"""Accounts of what rounding takes or gives: a hundredth of a foot, which no one looks for."""


def _is_shown(row: Answer) -> bool:
    return bool(int(row["amount"])) and row["account"] not in _ROUNDING


def _ledger_cells(row: Answer, taken: int, lengths: Lengths) -> list[str]:
    account = row["account"]
    share = 100 * int(row["amount"]) / taken if taken else 0.0
    name = _ACCOUNTS.get(account, account.replace("_", " "))
    return [name, fixed(row["area"]), lengths.total(row["length"]), fixed(share, 1)]
