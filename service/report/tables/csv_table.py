"""A table of the answer as CSV (RFC 4180): a row a line, for a spreadsheet or a supplier.

The columns are those of the table's rows, each named with the unit that it is in. Numbers stand as
numbers, what is not known as an empty cell. What is no single value (the cuts of a stick, the rings
of a shape) is one cell that holds it in JSON, as the JSON answer has it.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final
from unicodedata import category, normalize

from service.products.bought_rows import OrderRow
from service.report.tables.catalogue import BY_NAME
from service.report.tables.table import Source, Table
from service.report.tables.writing import Writer, writer_of
from service.schemas.columns import Column, columns_of
from service.takeoff.pipeline import Takeoff

MEDIA = "text/csv"

_LATER: Final = frozenset({"board_feet", "pack", "volume", "left_volume"})

ORDER: Final = tuple(one for one in columns_of(OrderRow) if one.name not in _LATER)
"""The columns of the order where no table is named: those that it has had from the first on."""

_OPENERS: Final = frozenset("=+-@")


def as_csv(takeoff: Takeoff, name: str | None) -> bytes:
    """One table of a takeoff, or the order where none is named; KeyError where there is none."""
    table, writer = BY_NAME[name or "order"], writer_of(takeoff)
    columns = ORDER if name is None else columns_of(table.record)
    return written(columns, writer.rows(table.record, table.rows(takeoff)), writer.units)


def table_as_csv(table: Table[Source], source: Source, writer: Writer) -> bytes:
    """A table of any answer, all its columns."""
    rows = writer.rows(table.record, table.rows(source))
    return written(columns_of(table.record), rows, writer.units)


def written(
    columns: Sequence[Column],
    rows: Iterable[Mapping[str, Any]],
    units: Mapping[str, str | None],
) -> bytes:
    """Rows of the JSON answer in these columns: UTF-8, CRLF, a header row.

    `units` are the answer's. A text that a spreadsheet would run as a formula gets an apostrophe
    before it.
    """
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow(named(column, units) for column in columns)
    for row in rows:
        writer.writerow(_cell(row[column.name]) for column in columns)
    return page.getvalue().encode("utf-8", errors="replace")


def named(column: Column, units: Mapping[str, str | None]) -> str:
    """What heads a column: its name, with the unit behind it where the answer's `units` say it."""
    unit = units.get(column.measure) if column.measure else None
    return f"{column.name}_{unit.lower()}" if unit else column.name


def _cell(value: object) -> object:
    if isinstance(value, bool | list | tuple | dict):
        return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
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
