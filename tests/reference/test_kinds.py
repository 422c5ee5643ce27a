"""The reference cases that a kind's folder brings: hand-computed or published, in one form.

A file of `reference/` says its `source` and its `cases`. A case says `what` it is, the `example`
that it starts from, the `changes` of it, by JSON Pointer, and what it must `expect`: of a `table`
of the answer, the rows `where` members are so, either how many, or the `total` of a column, `is` so
much, within a `tolerance`. `example`, `changes` and `expect` beside `source` hold for every case.
"""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.strategies import kinds
from tests.strategies.asking import answered
from tests.strategies.requests import changed

FILES = kinds.files("reference", "*.toml")
OF_A_FILE = {"source", "example", "changes", "expect", "cases"}
OF_A_CASE = {"what", "example", "changes", "expect"}
EXPECTED = {"table", "where", "total", "is", "tolerance"}


def read(file: Path) -> dict[str, Any]:
    return tomllib.loads(file.read_text(encoding="utf-8"))


def cases() -> list[Any]:
    return [
        pytest.param(file, case, id=f"{kinds.name_of(file)}: {case.get('what', k + 1)}")
        for file in FILES
        for k, case in enumerate(read(file)["cases"])
    ]


@pytest.mark.parametrize("file", FILES, ids=kinds.name_of)
def test_a_file_says_where_its_figures_come_from(file: Path) -> None:
    whole = read(file)
    assert set(whole) <= OF_A_FILE
    assert len(whole["source"].split()) > 2
    for case in whole["cases"]:
        assert set(case) <= OF_A_CASE
        assert case["what"]
        told = [*whole.get("expect", ()), *case.get("expect", ())]
        assert told, f"{case['what']} expects nothing"
        assert all({"table", "is"} <= set(one) <= EXPECTED for one in told)


def request_of(file: Path, case: dict[str, Any]) -> dict[str, Any]:
    """The example with what the file changes in it, and then the case."""
    whole = read(file)
    name = case.get("example", whole.get("example"))
    request = kinds.request_of(file.parents[1] / "examples" / name)
    for pointer, value in {**whole.get("changes", {}), **case.get("changes", {})}.items():
        request = changed(request, pointer, value)
    return request


def found(answer: dict[str, Any], expected: dict[str, Any]) -> float:
    """How many rows there are, or what a column of them comes to."""
    where = expected.get("where", {})
    rows = [row for row in answer[expected["table"]]
            if all(row[key] == value for key, value in where.items())]  # fmt: skip
    total = expected.get("total")
    return len(rows) if total is None else math.fsum(float(row[total]) for row in rows)


@pytest.mark.parametrize(("file", "case"), cases())
def test_the_service_finds_what_the_case_expects(file: Path, case: dict[str, Any]) -> None:
    answer = answered(request_of(file, case))
    for expected in [*read(file).get("expect", ()), *case.get("expect", ())]:
        off = abs(found(answer, expected) - expected["is"])
        assert off <= expected.get("tolerance", 1e-6), (expected, found(answer, expected))
