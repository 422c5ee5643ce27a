"""Rows as CSV (RFC 4180): the cells as they came, then the columns that are answered."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from typing import Any, Final
from unicodedata import category

from service.report.tables.csv_table import opens_formula
from service.rows.csv_in import BOM
from service.schemas.rooms import COLUMNS, RESULTS

_NUMBER: Final = re.compile(r"-?[0-9]+([.,][0-9]+)?")


def header(before: Sequence[str], parted_by: str = ",", *, marked: bool = False) -> bytes:
    """The first row, behind a byte order mark where the sheet that was sent had one."""
    return (BOM if marked else "").encode() + _written([*before, *RESULTS], parted_by)


def line(before: Sequence[str], row: Mapping[str, Any], parted_by: str = ",") -> bytes:
    """One row: what was sent, and what is answered, in the manner of the sheet that was sent."""
    return _written([*before, *(_figure(row[name], parted_by) for name in RESULTS)], parted_by)


def sent(row: Mapping[str, Any]) -> list[str]:
    """The cells of a row that was not sent as CSV."""
    return ["" if row.get(name) is None else str(row[name]) for name in COLUMNS]


def _figure(value: Any, parted_by: str) -> str:
    """A figure; with a decimal comma where semicolons part the columns."""
    text = "" if value is None else str(value)
    is_number = parted_by == ";" and _NUMBER.fullmatch(text)
    return text.replace(".", ",") if is_number else text


def _written(cells: Sequence[str], parted_by: str) -> bytes:
    page = io.StringIO(newline="")
    csv.writer(page, delimiter=parted_by, lineterminator="\r\n").writerow(map(safe, cells))
    return page.getvalue().encode("utf-8", errors="replace")


def safe(cell: str) -> str:
    """A cell that no spreadsheet runs: an apostrophe stands before what opens a formula."""
    text = "".join(" " if category(one) == "Cc" else one for one in cell)
    return f"'{text}" if opens_formula(cell) and not _NUMBER.fullmatch(text) else text
