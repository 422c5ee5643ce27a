"""A workbook (Office Open XML) of the rows of an answer: typed cells, and totals that are live.

Texts are written as texts, whatever they begin with: none is a formula or a link. The only formulas
are the totals, each with its value beside it, so a reader that does not reckon shows it too. The
same rows give the same bytes.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from datetime import datetime
from math import ceil
from typing import TYPE_CHECKING, Any, Final, TypeAlias

import orjson

from service.report.paper import Paper
from service.report.printable import printable
from service.report.workbook.leaves import Leaf
from service.schemas.columns import AREA, MONEY, PERCENT, WEIGHT, Column, Unit

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

_PAPERS: Final[Mapping[Paper, int]] = {"letter": 1, "a4": 9}
_EPOCH: Final = datetime(2000, 1, 1)
"""When every workbook says that it was made: the same rows give the same bytes."""

_OPTIONS: Final = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_numbers": False,
    "strings_to_urls": False,
}
_NUMBERS: Final[Mapping[Unit, str]] = {
    MONEY: "#,##0.00", AREA: "#,##0.00", WEIGHT: "#,##0.0", PERCENT: "0.00",
}  # fmt: skip
"""How numbers of a unit are shown; they are kept as they are."""

MOST_CHARACTERS: Final = 32_767
"""Of a cell; what Office Open XML readers take (ISO/IEC 29500-1, 18.18.96, and their limits)."""

_CUT: Final = " ... (longer than a cell may be: the JSON answer has all of it)"
_NARROWEST: Final = 8
_WIDEST: Final = 48
_NAMED: Final = 24
_SAID: Final = 100
"""Widths of columns, in characters."""

_BUTTON: Final = 4
"""Characters that the button of a filter takes beside a head."""

_LOOKED_AT: Final = 200
"""Rows that the width of a column is taken from."""

_LINE: Final = 15.0
_HIGHEST: Final = 405.0
"""Heights of a line, and of the highest row, in points."""

_LINED: Final = {"valign": "top", "bottom": 4, "bottom_color": "#808080"}


def book(
    leaves: Sequence[Leaf], about: Sequence[tuple[str, Any]], first: str, paper: Paper
) -> bytes:
    """A workbook with a sheet for each of `leaves`, and one of what is said `about` them.

    The sheet `first` comes first, then `about`, then the others in their order.
    """
    import xlsxwriter

    page = io.BytesIO()
    made = xlsxwriter.Workbook(page, _OPTIONS)
    made.set_properties({"created": _EPOCH})
    writer = _Writer(made, paper)
    for leaf in (one for one in leaves if one.name == first):
        writer.table(leaf)
    writer.about(about)
    for leaf in (one for one in leaves if one.name != first):
        writer.table(leaf)
    made.close()
    return page.getvalue()


class _Writer:
    """Writes sheets into a workbook, each set up to be printed."""

    def __init__(self, made: Workbook, paper: Paper) -> None:
        self._made = made
        self._paper = _PAPERS[paper]
        self._head = made.add_format({"bold": True, "bottom": 1})
        self._text = made.add_format({"text_wrap": True} | _LINED)
        self._formats: dict[tuple[str, bool], Format] = {}

    def about(self, rows: Sequence[tuple[str, Any]]) -> None:
        """What no table says: one line each."""
        sheet = self._sheet("about")
        for k, head in enumerate(("what", "said")):
            sheet.write_string(0, k, head, self._head)
        for line, (name, value) in enumerate(rows, start=1):
            cells = (name, celled(value))
            for k, cell in enumerate(cells):
                self._cell(sheet, line, k, cell, None)
            _heighten(sheet, line, cells, (_NAMED, _SAID))
        sheet.set_column(0, 0, _NAMED)
        sheet.set_column(1, 1, _SAID)

    def table(self, leaf: Leaf) -> None:
        """A table under its heads, its totals in a row under it."""
        sheet = self._sheet(leaf.name)
        lines = [[celled(row[one.name]) for one in leaf.columns] for row in leaf.rows]
        widths = [_wide(*column) for column in zip(leaf.heads, *lines[:_LOOKED_AT], strict=True)]
        for k, wide in enumerate(widths):
            sheet.set_column(k, k, wide)
        for line, cells in enumerate(lines, start=1):
            for k, (cell, column) in enumerate(zip(cells, leaf.columns, strict=True)):
                self._cell(sheet, line, k, cell, column)
            _heighten(sheet, line, cells, widths)
        sheet.add_table(0, 0, len(leaf.rows), len(leaf.columns) - 1, {
            "name": leaf.name,
            "style": "Table Style Light 15",
            "columns": [{"header": head, "header_format": self._head} for head in leaf.heads],
        })  # fmt: skip
        if leaf.totals:
            self._totals(sheet, leaf)

    def _totals(self, sheet: Worksheet, leaf: Leaf) -> None:
        """A row under the table: live sums of what the filter shows, with their values."""
        from xlsxwriter.utility import xl_col_to_name

        line = len(leaf.rows) + 1
        sheet.write_string(line, 0, _total_word(leaf), self._head)
        for k, column in enumerate(leaf.columns):
            if column.name not in leaf.totals:
                continue
            at, number = xl_col_to_name(k), self._number(column, bold=True)
            sum_shown = f"=SUBTOTAL(109,{at}2:{at}{line})"
            sheet.write_formula(line, k, sum_shown, number, leaf.totals[column.name])
            place = f"={leaf.name}!${at}${line + 1}"
            self._made.define_name(f"{leaf.name}_{column.name}_total", place)

    def _sheet(self, name: str) -> Worksheet:
        sheet = self._made.add_worksheet(name)
        sheet.freeze_panes(1, 0)
        sheet.repeat_rows(0)
        sheet.set_landscape()
        sheet.set_paper(self._paper)
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
        sheet.set_footer("&L&A&RPage &P of &N")
        return sheet

    def _cell(self, sheet: Worksheet, line: int, k: int, cell: Cell, column: Column | None) -> None:
        if isinstance(cell, str):
            sheet.write_string(line, k, cell, self._text)
        elif isinstance(cell, bool):
            sheet.write_boolean(line, k, cell, self._text)
        elif cell is not None:
            sheet.write_number(line, k, cell, self._number(column, bold=False))

    def _number(self, column: Column | None, *, bold: bool) -> Format:
        shown = _NUMBERS.get(column.unit, "") if column and column.unit else ""
        key = (shown, bold)
        if key not in self._formats:
            self._formats[key] = self._made.add_format(
                {"bold": bold} | _LINED | ({"num_format": shown} if shown else {})
            )
        return self._formats[key]


Cell: TypeAlias = str | bool | float | None


def celled(value: Any) -> Cell:
    """A value as it may stand in a cell; one of several parts is a text, as JSON has it."""
    if value is None or isinstance(value, bool | int | float):
        return value
    text = printable(value if isinstance(value, str) else orjson.dumps(value).decode())
    return text if len(text) <= MOST_CHARACTERS else text[: MOST_CHARACTERS - len(_CUT)] + _CUT


def _total_word(leaf: Leaf) -> str:
    return "total of what is known" if leaf.is_partly_known else "total"


def _wide(head: str, *cells: Cell) -> int:
    """So many characters as a head and most of the cells under it have, within bounds."""
    longest = max((len(str(cell)) for cell in cells if cell is not None), default=0)
    return min(max(_NARROWEST, len(head) + _BUTTON, longest + 2), _WIDEST)


def _heighten(sheet: Worksheet, line: int, cells: Sequence[Cell], widths: Sequence[int]) -> None:
    """Make a row as high as its longest text is where it flows in its column."""
    lines = max(
        ceil(len(cell) / (wide - 2)) if isinstance(cell, str) else 1
        for cell, wide in zip(cells, widths, strict=True)
    )
    if lines > 1:
        sheet.set_row(line, min(lines * _LINE, _HIGHEST))
