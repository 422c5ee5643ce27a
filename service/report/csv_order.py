"""The order as CSV (RFC 4180): one row a line, for a spreadsheet or a supplier."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any, Final
from unicodedata import category, normalize

MEDIA = "text/csv"

COLUMNS: Final[tuple[tuple[str, str | None], ...]] = (
    ("product", None),
    ("form", None),
    ("item", None),
    ("length", "length"),
    ("width", "length"),
    ("need", None),
    ("cull", None),
    ("spare", None),
    ("loss", None),
    ("buy", None),
    ("packages", None),
    ("per_package", None),
    ("left_over", None),
    ("price", "money"),
    ("weight", "weight"),
)
"""Members of an order row, and which of the answer's units the column's name ends with."""

_OPENERS: Final = frozenset("=+-@")


def order_csv(answer: Mapping[str, Any]) -> bytes:
    """The order of a flat answer: UTF-8, CRLF, a header row; columns are named with their units.

    Numbers stand as numbers, what is not known as an empty cell. A text that a spreadsheet would
    run as a formula gets an apostrophe before it.
    """
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow(_named(name, unit, answer["units"]) for name, unit in COLUMNS)
    for row in answer["order"]:
        writer.writerow(_cell(row[name]) for name, _ in COLUMNS)
    return page.getvalue().encode("utf-8", errors="replace")


def _named(name: str, unit: str | None, units: Mapping[str, str | None]) -> str:
    suffix = units[unit] if unit else None
    return f"{name}_{suffix.lower()}" if suffix else name


def _cell(value: object) -> object:
    if not isinstance(value, str):
        return value
    text = "".join(" " if category(character) == "Cc" else character for character in value)
    return f"'{text}" if opens_formula(value) else text


def opens_formula(text: str) -> bool:
    """Whether a spreadsheet may take `text` for a formula.

    That is: = + - @ first, also full-width ones, also after white space; or a tab or line break.
    """
    if text[:1] in {"\t", "\r", "\n", "\0"}:
        return True
    return normalize("NFKC", text.lstrip()[:1]) in _OPENERS
