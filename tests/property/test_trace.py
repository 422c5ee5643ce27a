"""Each figure of the order can be worked again from the trace, by arithmetic alone.

Counts, packages and prices come out exactly. Volumes are rounded up to a whole cubic
tick, of which a gallon has 10**20: they come out to nine digits.
"""

from __future__ import annotations

import json
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from service.compute import Picked
from service.standards import loader
from tests.independent.working import names_of, worked
from tests.strategies import requests
from tests.strategies.asking import answered, body_of, in_forms

Request = dict[str, Any]
ROOT = Path(__file__).parents[2]

FIGURES = ("need", "cull", "spare", "loss", "buy", "packages", "left_over", "price", "weight",
           "board_feet", "volume", "left_volume")  # fmt: skip
COUNTED = {"need", "cull", "spare", "loss", "buy", "packages", "left_over"}


def loft() -> Request:
    """A metric ceiling: boards of two lengths, wrap with tape, nails of which some are owned."""
    nail = {"id": "nail", "form": "fastener", "lengths": ["50 mm", "65 mm"], "shank": "ring",
            "per_pound": 150, "pounds": 5, "price": "21.4999",
            "owned": [{"length": "50 mm", "count": 40}]}  # fmt: skip
    roll = {"id": "roll", "form": "roll", "width": 1500, "stock": [{"length": "50 m"}]}
    tape = {"id": "tape", "form": "tape", "width": 60, "length": "25 m", "price": 9, "owned": 1}
    paint = {"id": "paint", "form": "coating", "spread": "10 m2/l",
             "packs": [{"holds": "2.5 l", "price": 30},
                       {"holds": "750 ml", "price": 12}]}  # fmt: skip
    caulk = {"id": "caulk", "form": "sealant", "packs": [{"holds": "300 ml"}]}
    board = requests.board("2.4 m", "3.6 m", cover=130, overall=136, thickness=19, density=450)
    boards = {"kind": "boarding", "product": "pine", "direction": 0,
              "fastening": {"product": "nail"},
              "coats": [{"product": "paint", "on": "all_sides"}, {"product": "paint", "coats": 2}],
              "beads": [{"product": "caulk", "along": "openings", "width": 6,
                         "depth": 6}]}  # fmt: skip
    wrap = {"kind": "wrap", "product": "roll", "tape": "tape", "fastening": {"product": "nail"}}
    area = {"id": "loft", "view": "facing", "rectangle": [5000, 3600], "layers": [wrap, boards],
            "openings": [{"id": "hatch", "rectangle": [1000, 1000, 600, 400], "cut_gap": 5}],
            "supports": {"direction": 90, "first": 400, "spacing": 400}}  # fmt: skip
    return {"unit": "mm", "surfaces": [area], "products": [board, nail, roll, tape, paint, caulk],
            "currency": "EUR", "rules": {"cull": 7.5, "spare": 2}, "explain": True}  # fmt: skip


@cache
def traced(name: str) -> Request:
    if name == "loft":
        return answered(loft())
    request = json.loads((ROOT / name).read_bytes())
    return answered(request | {"explain": True})


each_job = pytest.mark.parametrize("name", [
    "loft", "openapi/examples/full.json", "service/products/kinds/trim/examples/den.json",
])  # fmt: skip


def number(text: str) -> Fraction:
    return Fraction(text)


@each_job
def test_each_formula_comes_to_its_result(name: str) -> None:
    for row in traced(name)["trace"]:
        inputs = {one["name"]: number(one["value"]) for one in row["inputs"]}
        assert names_of(row["formula"]) == set(inputs), row
        result = worked(row["formula"], inputs)
        if row["table"] == "liquids":
            assert result == pytest.approx(number(row["result"]), rel=1e-9)
        else:
            assert result == number(row["result"]), row


@each_job
def test_each_figure_of_the_order_is_traced(name: str) -> None:
    """What has no row is nought, or a weight, price or volume that is not known."""
    answer = traced(name)
    found = {(row["line"], row["figure"]): number(row["result"]) for row in answer["trace"]}
    for line, row in enumerate(answer["order"], start=1):
        for figure in FIGURES:
            told = row[figure]
            if told is None:
                assert (line, figure) not in found
                continue
            if told == 0 and (line, figure) not in found:
                continue
            close = 0 if figure in COUNTED else 1e-3
            assert float(found[line, figure]) == pytest.approx(told, abs=close), (line, figure)


@each_job
def test_each_number_is_an_earlier_figure_or_comes_from_elsewhere(name: str) -> None:
    """A figure that another is worked from is that one: of its line, or its product's first."""
    answer = traced(name)
    known: dict[tuple[str, str], Fraction] = {}
    for row in answer["trace"]:
        for one in row["inputs"]:
            if one["from"].startswith("figure "):
                figure = one["from"].removeprefix("figure ")
                assert known[row["product"], figure] == number(one["value"]), (row, one)
        known[row["product"], row["figure"]] = number(row["result"])


@each_job
def test_rules_and_tables_of_the_trace_are_there(name: str) -> None:
    answer = traced(name)
    assert {row["rule"] for row in answer["trace"]} <= set(loader.rule_book())
    assert {row["table"] for row in answer["trace"]} - {None} <= set(answer)
    # Fasteners, tape and liquids are each traced to the row in which they were counted.
    counted = [row for row in answer["trace"] if row["table"] in ("fasteners", "consumables")]
    ordered = {row["product"] for row in answer["order"]}
    rows = [row for table in ("fasteners", "consumables") for row in answer[table]
            if row["product"] in ordered]  # fmt: skip
    sums = [number(row["result"]) for row in counted]
    assert sorted(map(float, sums)) == pytest.approx(
        sorted(float(row.get("count", row.get("length"))) for row in rows), abs=1e-6
    )


def test_the_trace_is_there_only_where_it_is_asked_for() -> None:
    assert "trace" in traced("loft")
    assert "trace" not in answered(loft() | {"explain": False})


def test_the_trace_is_a_table_in_each_form() -> None:
    """JSON and CSV have a row for each figure; on paper each line of the order stands by itself."""
    forms = [Picked(operation="takeoffs", media="text/csv", table="trace"),
             Picked(operation="takeoffs", media="text/plain")]  # fmt: skip
    table, paper = (one.body.decode() for one in in_forms(body_of(loft()), forms))
    rows = traced("loft")["trace"]
    assert len(table.splitlines()) == len(rows) + 1
    section = paper.split("HOW EACH FIGURE COMES ABOUT")[1]
    assert (
        "buy: 1 = packages; packages = 1 [20.6]" not in section
    )  # a roll is owned: none is bought
    for row in traced("loft")["order"]:
        assert row["item"] in " ".join(section.split())
