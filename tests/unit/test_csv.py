"""The order as CSV: read back, it says what the answer says and runs nothing."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

from service.report.tables.csv_table import ORDER, written
from tests.unit.printed_answers import answer, order


def order_csv(answer: dict[str, Any]) -> bytes:
    """The order of an answer where no table is named."""
    return written(ORDER, answer["order"], answer["units"])


def _read(body: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(body.decode("utf-8"), newline="")))


def test_first_row_names_columns_with_their_units() -> None:
    head = _read(order_csv(answer()))[0]
    assert head == [
        "product", "form", "item", "length_in", "width_in", "need", "cull", "spare", "loss", "buy",
        "packages", "per_package", "left_over", "price_usd", "weight_lb",
    ]  # fmt: skip


def test_units_follow_the_answer() -> None:
    metric = {**answer(), "units": {"length": "mm", "area": "m2", "weight": "kg", "money": None}}
    head = _read(order_csv(metric))[0]
    assert {"length_mm", "price", "weight_kg"} <= set(head)


def test_a_row_for_each_line_with_numbers_as_numbers() -> None:
    head, *rows = _read(order_csv(answer()))
    assert len(rows) == len(order(48))
    for row, line in zip(rows, order(48), strict=True):
        cells = dict(zip(head, row, strict=True))
        assert int(cells["buy"]) == line["buy"]
        assert float(cells["length_in"]) == line["length"]
        assert cells["weight_lb"] == ("" if line["weight"] is None else str(line["weight"]))


def test_no_lines_leave_the_header() -> None:
    assert len(_read(order_csv({**answer(), "order": []}))) == 1


def test_lines_end_as_rfc_4180_says() -> None:
    body = order_csv(answer())
    assert body.endswith(b"\r\n")
    assert body.count(b"\n") == body.count(b"\r\n") == 3


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "\0=1", "＝1+1", "＋1", "－1", "＠A",
     "  =1", "\u3000=1"],
)  # fmt: skip
def test_a_text_cannot_start_a_formula(text: str) -> None:
    row = {**order(1)[0], "item": text}
    cell = _read(order_csv({**answer(), "order": [row]}))[1][2]
    assert cell.startswith("'")
    assert cell.lstrip("' ") == text.lstrip("\t\r\n\0 ")


@pytest.mark.parametrize("text", ['16" pine, "clear"', "a,b", "pine-5", "1 = 2", "kiefer ä"])
def test_other_texts_come_back_as_they_were(text: str) -> None:
    row = {**order(1)[0], "item": text}
    assert _read(order_csv({**answer(), "order": [row]}))[1][2] == text


def test_a_lone_surrogate_does_not_stop_the_order() -> None:
    row = {**order(1)[0], "item": "pine \ud800"}
    assert _read(order_csv({**answer(), "order": [row]}))[1][2] == "pine ?"
