"""Each table of the answer is the same in CSV as in JSON, whatever the job and its units.

What a cell must say is reckoned from the JSON answer and the published document alone: the name of
a column is its member's, with the unit that `x-unit` and the answer's `units` give it.
"""

from __future__ import annotations

import csv
import io
import json
from functools import cache
from pathlib import Path
from typing import Any

import orjson
import pytest
from hypothesis import given

from service.compute import CSV, Picked, answer
from service.cures import with_tried_findings
from service.report.tables.catalogue import ONLY_ASKED
from service.report.tables.csv_table import as_csv
from service.report.tables.flat import flat
from service.request.reading import job_of
from service.request.strict_json import loads
from service.takeoff.pipeline import take_off
from tests.strategies.asking import Request, answered, asked, body_of
from tests.strategies.budget import LAW
from tests.strategies.build_ups import build_ups
from tests.strategies.kinds import each_example, request_of

DOCUMENT = Path(__file__).parents[2] / "openapi" / "openapi.json"
OPENERS = tuple("=+-@")


@cache
def shapes() -> dict[str, Any]:
    """The published shapes."""
    found: dict[str, Any] = json.loads(DOCUMENT.read_bytes())["components"]["schemas"]
    return found


@cache
def tables() -> dict[str, str]:
    """The shape of a row of each table: the answer's lists of objects, and its summary."""
    found = {"summary": "Summary"}
    for name, shape in shapes()["Answer"]["properties"].items():
        if "$ref" in shape.get("items", {}):
            found[name] = shape["items"]["$ref"].rpartition("/")[2]
    return found


def heads(shape: str, units: dict[str, str | None]) -> dict[str, str]:
    """The column of each member of a row."""
    named = {}
    for member in shapes()[shape]["required"]:
        unit = units.get(shapes()[shape]["properties"][member].get("x-unit", ""))
        named[member] = f"{member}_{unit.lower()}" if unit else member
    return named


def says(cell: str, value: Any) -> bool:
    """Whether a cell says what the JSON answer says."""
    if value is None:
        return cell == ""
    if isinstance(value, bool | list | dict):
        return bool(json.loads(cell) == value)
    if isinstance(value, int | float):
        return float(cell) == value
    return cell == (f"'{value}" if value.lstrip().startswith(OPENERS) else value)


def read(body: bytes) -> tuple[list[str], list[dict[str, str]]]:
    head, *rows = csv.reader(io.StringIO(body.decode(), newline=""))
    return head, [dict(zip(head, row, strict=True)) for row in rows]


def check(body: bytes, table: str, told: Request) -> None:
    """CSV of one table against the JSON answer."""
    named = heads(tables()[table], told["units"])
    head, lines = read(body)
    assert head == list(named.values())
    assert len(set(head)) == len(head)
    rows = [told[table]] if table == "summary" else told[table]
    assert len(lines) == len(rows)
    for line, row in zip(lines, rows, strict=True):
        wrong = {key for key in row if not says(line[named[key]], row[key])}
        assert not wrong, (table, {key: (line[named[key]], row[key]) for key in wrong})


def check_all(request: Request) -> None:
    takeoff = with_tried_findings(take_off(job_of(loads(body_of(request)))))
    told = json.loads(orjson.dumps(flat(takeoff)))
    assert set(tables()) - ONLY_ASKED <= set(told)
    for table in tables():
        told.setdefault(table, [])
        check(as_csv(takeoff, table), table, told)


@each_example()
def test_every_table_of_an_example_says_in_csv_what_it_says_in_json(example: Path) -> None:
    check_all(request_of(example))


@LAW
@given(build_ups())
def test_every_table_says_in_csv_what_it_says_in_json(request: Request) -> None:
    if asked(request).kind == "answer":
        check_all(request)


@pytest.mark.parametrize("table", ["findings", "pieces", "sticks", "summary", "basis"])
def test_a_table_is_picked_by_its_name(table: str) -> None:
    """From body to body: cures of findings are tried for CSV as for JSON."""
    request = json.loads((DOCUMENT.parent / "examples" / "small.json").read_bytes())
    outcome = answer(body_of(request), Picked(CSV, table=table))
    assert (outcome.kind, outcome.media) == ("answer", CSV)
    check(outcome.body, table, answered(request))


LATER = ("board_feet", "pack", "volume_gal", "left_volume_gal")
"""Columns that the order came by after its CSV had its first form."""


def test_without_a_name_it_is_the_order_as_it_always_was() -> None:
    request = json.loads((DOCUMENT.parent / "examples" / "small.json").read_bytes())
    plain, named = (
        read(answer(body_of(request), Picked(CSV, table=name)).body) for name in (None, "order")
    )
    assert named[0] == [*plain[0], *LATER]
    assert [{key: row[key] for key in plain[0]} for row in named[1]] == plain[1]
