"""Each sheet of a workbook says what the JSON answer says, and its totals are live.

What a cell must say is reckoned from the JSON answer and the CSV of the same table; the sheets are
read by another library than the one that wrote them.
"""

from __future__ import annotations

import io
import json
import re
import zipfile
from functools import lru_cache
from itertools import chain
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from service.compute import XLSX, Picked, answer
from service.report.tables.catalogue import BY_NAME, TABLES
from service.report.tables.changes import TABLES as CHANGE_TABLES
from service.report.tables.comparison import COMPARISON_TABLES
from service.report.tables.cut_plan import CUT_TABLES
from service.report.workbook.book import MOST_CHARACTERS, book
from service.report.workbook.leaves import Leaf
from service.report.workbook.made import change_workbook, workbook
from service.schemas.columns import columns_of
from tests.property.test_tables import heads
from tests.property.test_tables import tables as tables_of_document
from tests.strategies.asking import Request, answered, asked, body_of
from tests.strategies.budget import FEW
from tests.strategies.build_ups import build_ups

ROOT = Path(__file__).parents[2]
KINDS = ROOT / "service" / "products" / "kinds"
EXAMPLES = ROOT / "openapi" / "examples"
PORCH = (KINDS / "boarding" / "examples" / "porch.json").read_bytes()


FIRST = {"takeoffs": (TABLES, "order"), "comparisons": (COMPARISON_TABLES, "variations"),
         "cut-plans": (CUT_TABLES, "sticks")}  # fmt: skip
"""The tables of an operation, and which stands first."""


@lru_cache
def workbook_of(body: bytes, operation: str = "takeoffs") -> bytes:
    told = answered(json.loads(body), operation)
    if operation == "changes":
        return change_workbook(told, CHANGE_TABLES, TABLES, "order")
    return workbook(told, *FIRST[operation])


@lru_cache(maxsize=8)
def read(body: bytes, *, cached: bool = False) -> dict[str, Worksheet]:
    """The sheets, with the formulas or with their cached values."""
    made = load_workbook(io.BytesIO(body), data_only=cached)
    return {sheet.title: sheet for sheet in made.worksheets}


def plain(value: Any) -> Any:
    """A value of the JSON answer as a cell has it; what has parts is JSON in a text."""
    return json.loads(json.dumps(value)) if isinstance(value, list | dict) else value


def in_cell(value: Any, like: Any) -> Any:
    return json.loads(value) if isinstance(like, list | dict) else value


def check(sheet: Worksheet, rows: list[Request], named: list[str]) -> None:
    """The rows of a sheet against those of the JSON answer: values and their types."""
    lines = list(sheet.iter_rows(values_only=True))
    assert list(lines[0]) == named
    for line, row in zip(lines[1:], rows, strict=False):
        told = [in_cell(cell, value) for cell, value in zip(line, row.values(), strict=True)]
        assert told == [plain(value) for value in row.values()], (sheet.title, row)
    for cell, value in zip(sheet[2], rows[0].values(), strict=True):
        text = isinstance(value, str | list | dict)
        assert value is None or (cell.data_type == "s") == text, (sheet.title, cell.coordinate)


def check_all(body: bytes, told: Request, operation: str = "takeoffs") -> None:
    sheets, shapes = read(workbook_of(body, operation)), tables_of_document()
    tables = {
        name: [value] if isinstance(value, dict) else value
        for name, value in told.items()
        if name in BY_NAME and value
    }
    assert set(sheets) == {"about", *tables}
    for name, rows in tables.items():
        totals = bool(BY_NAME[name].totals) and len(list(sheets[name].rows)) > len(rows) + 1
        assert sheets[name].max_row == 1 + len(rows) + totals
        check(sheets[name], rows, list(heads(shapes[name], told["units"]).values()))


def test_every_table_with_rows_has_a_sheet_that_says_what_json_says() -> None:
    check_all(PORCH, answered(json.loads(PORCH)))


@FEW
@given(build_ups())
def test_every_sheet_says_what_json_says(request: Request) -> None:
    if asked(request).kind == "answer":
        told = answered(request)
        sheets = read(workbook_of(body_of(request)))
        for name in set(sheets) & set(told):
            rows = [told[name]] if isinstance(told[name], dict) else told[name]
            lines = list(sheets[name].iter_rows(min_row=2, values_only=True))
            for line, row in zip(lines, rows, strict=False):
                found = [in_cell(*pair) for pair in zip(line, row.values(), strict=True)]
                assert found == [plain(value) for value in row.values()]


def test_what_stands_in_no_table_is_told_on_the_sheet_about() -> None:
    told = answered(json.loads(PORCH))
    rows = {tuple(row) for row in read(workbook_of(PORCH))["about"].iter_rows(values_only=True)}
    assert {("not_computed", one) for one in told["not_computed"]} <= rows
    assert ("units.length", "in") in rows
    assert ("version.digest", told["version"]["digest"]) in rows


def test_totals_are_formulas_over_their_column_with_the_value_beside_them() -> None:
    """CSV, workbook and JSON add up to the same."""
    told = answered(json.loads(PORCH))
    live, cached = (read(workbook_of(PORCH), cached=one) for one in (False, True))
    head = list(heads(tables_of_document()["order"], told["units"]).values())
    line = 2 + len(told["order"])
    for name in ("price", "weight", "board_feet"):
        k = next(k for k, one in enumerate(head, start=1) if one.startswith(name))
        known = [row[name] for row in told["order"] if row[name] is not None]
        at = live["order"].cell(line, k).column_letter
        assert live["order"].cell(line, k).value == f"=SUBTOTAL(109,{at}2:{at}{line - 1})"
        assert cached["order"].cell(line, k).value == pytest.approx(sum(known), rel=1e-12)
    assert live["order"].cell(line, 1).value == "total of what is known"  # nails weigh nothing here
    assert live["surfaces"].cell(2 + len(told["surfaces"]), 1).value == "total"


def test_a_total_has_a_name_that_other_cells_may_use() -> None:
    named = load_workbook(io.BytesIO(workbook_of(PORCH))).defined_names
    place = named["order_price_total"].attr_text
    assert re.fullmatch(r"order!\$[A-Z]+\$\d+", place)


def test_sheets_are_set_up_for_paper() -> None:
    for name, sheet in read(workbook_of(PORCH)).items():
        assert sheet.freeze_panes == "A2", name
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.paperSize == 1  # letter: the job is in inches
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
    metric = json.loads((EXAMPLES / "cut-plans" / "metric.json").read_bytes())
    for sheet in read(workbook_of(body_of(metric), "cut-plans")).values():
        assert sheet.page_setup.paperSize == 9  # A4


def test_the_order_is_the_first_sheet() -> None:
    assert list(read(workbook_of(PORCH)))[:3] == ["order", "about", "summary"]


def test_the_same_request_gives_the_same_bytes() -> None:
    assert workbook(answered(json.loads(PORCH)), TABLES, "order") == workbook_of(PORCH)
    with zipfile.ZipFile(io.BytesIO(workbook_of(PORCH))) as made:
        assert {one.date_time[:3] for one in made.infolist()} == {(1980, 1, 1)}
        assert b"2000-01-01T00:00:00Z" in made.read("docProps/core.xml")


@pytest.mark.parametrize(
    ("operation", "example"),
    [("takeoffs", "small"), ("changes", "small"), ("comparisons", "small"), ("cut-plans", "small")],
)
def test_a_request_is_answered_with_this_workbook(operation: str, example: str) -> None:
    folder = "" if operation == "takeoffs" else operation
    body = (EXAMPLES / folder / f"{example}.json").read_bytes()
    made = answer(body, Picked(XLSX, operation=operation))
    assert (made.kind, made.media) == ("answer", XLSX)
    assert made.body == workbook_of(body, operation)


OPENERS = ("=1+1", "+1", "-1", "@SUM(A1)", "{=1+1}", "http://a.invalid", "mailto:a@b",
           "internal:a!A1", "_x0041_", "<b>&amp;</b>", "0123", "TRUE", "'=1", "")  # fmt: skip


def test_no_text_is_a_formula_a_link_or_a_number() -> None:
    columns = columns_of(BY_NAME["relaxed"].record)
    rows = [
        {"rule": text, "key": text, "asked": text, "used": [text], "places": [text]}
        for text in OPENERS
    ]
    leaf = Leaf("relaxed", columns, [one.name for one in columns], rows, {})
    body = book([leaf], [("cautions", text) for text in OPENERS], "relaxed", "a4")
    sheets = read(body)
    for cell, text in chain(
        zip(sheets["relaxed"]["A"][1:], OPENERS, strict=True),
        zip(sheets["about"]["B"][1:], OPENERS, strict=True),
    ):
        assert (cell.value or "") == text
        assert cell.data_type == "s"
        assert cell.hyperlink is None
    with zipfile.ZipFile(io.BytesIO(body)) as made:
        parts = {name: made.read(name).decode() for name in made.namelist()}
    assert not any("<f>" in text or "<hyperlink" in text for text in parts.values())


def test_texts_that_no_cell_can_hold_say_so() -> None:
    columns = columns_of(BY_NAME["relaxed"].record)[:2]
    rows = [{"rule": "a" * (MOST_CHARACTERS + 1), "key": "a\x00\ud800b"}]
    sheet = read(book([Leaf("relaxed", columns, ["rule", "key"], rows, {})], [], "x", "a4"))
    long, odd = (cell.value for cell in sheet["relaxed"][2])
    assert len(long) == MOST_CHARACTERS
    assert long.endswith("... (longer than a cell may be: the JSON answer has all of it)")
    assert odd == "a \ufffdb"


@pytest.mark.parametrize(
    ("operation", "example", "first"),
    [
        ("changes", "hatch", "order"),
        ("comparisons", "small", "variations"),
        ("cut-plans", "small", "sticks"),
    ],
)
def test_other_operations_have_workbooks_of_their_tables(
    operation: str, example: str, first: str
) -> None:
    request = json.loads((EXAMPLES / operation / f"{example}.json").read_bytes())
    told = answered(request, operation)
    sheets = read(workbook_of(body_of(request), operation))
    assert list(sheets)[:2] == [first, "about"]
    for name in set(sheets) - {"about"}:
        held = told["work"] if name.startswith("work_") else told
        rows = held[name.removeprefix("work_")]
        check(sheets[name], [rows] if isinstance(rows, dict) else rows,
              [cell.value for cell in sheets[name][1]])  # fmt: skip


@pytest.mark.parametrize("tables", [TABLES, CHANGE_TABLES, COMPARISON_TABLES, CUT_TABLES])
def test_what_is_added_up_is_a_column(tables: Any) -> None:
    for table in tables:
        assert set(table.totals) <= {column.name for column in columns_of(table.record)}, table.name
