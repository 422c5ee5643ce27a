"""Each code of the shape of a request is provoked once, with its place and words of its cure.

Those that a test elsewhere asserts by name are not made up again; a new one fails here until it is.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from service.products.registry import codes
from tests.strategies.asking import asked
from tests.strategies.requests import Request, board, changed, job, room

ROOT = Path(__file__).parents[2]
NOTE = "n" * 501


class Case(NamedTuple):
    """What is put where in a request of an operation, and what is said of it there."""

    at: str
    value: Any
    words: str
    operation: str = "takeoffs"


STOCK = "/products/0/stock/0/on_hand"
PROVOKED = {
    "bool-type": Case("/explain", "yes", "true or false"),
    "greater-than": Case("/pieces/0/ends/0/mitre", 0, "over 0", "cut-plans"),
    "greater-than-equal": Case(STOCK, -1, "0 or more"),
    "int-type": Case(STOCK, 1.5, "a whole number"),
    "less-than-equal": Case(STOCK, 10**9, "or less"),
    "list-type": Case("/surfaces", {}, "a list is needed"),
    "literal-error": Case("/unit", "yd", "one of 'in', 'ft', 'mm', 'cm' or 'm'"),
    "model-attributes-type": Case("/products/0", 5, "an object is needed"),
    "missing": Case("/surfaces/0/slope", {"rise": 4, "run": 12}, "needed: Direction, in plan, in"),
    "model-type": Case("/surfaces/0/slope", "4/12", "here, with `rise`, `run` and `up`"),
    "no-such-species": Case("/boards/species", "oakwood", "must be one of", "moisture"),
    "string-pattern-mismatch": Case("/products/0/id", "Pine!", "^[a-z0-9_-]{1,32}$"),
    "string-too-long": Case("/note", NOTE, "500 or fewer characters"),
    "string-too-short": Case("/surfaces/0/edges", [{"edge": 0, "beside": ""}], "1 or more"),
    "string-type": Case("/note", 5, "a text is needed"),
    "too-long": Case("/surfaces", [room(180, 60)] * 1000, "must have at most"),
    "too-short": Case("/surfaces", [], "must have at least 1"),
    "union-tag-invalid": Case("/products/0/form", "bord", "did you mean `board`?"),
    "union-tag-not-found": Case("/products/0", {}, "'form' is needed here"),
}


def base(operation: str) -> Request:
    if operation == "takeoffs":
        return job(room(180, 60), board({"length": "16 ft"}))
    folder = ROOT / "openapi" / "examples" / operation
    file = min(folder.glob("*.json"), key=lambda one: (one.stem != "full", one.stem))
    found: Request = json.loads(file.read_bytes())
    return found


@pytest.mark.parametrize("code", PROVOKED)
def test_each_is_told_at_its_place_with_what_would_do(code: str) -> None:
    case = PROVOKED[code]
    found = asked(changed(base(case.operation), case.at, case.value), case.operation)
    assert found.kind == "ShapeRefused"
    (fault,) = (one for one in json.loads(found.body)["faults"] if one["code"] == code)
    assert f"{case.at}/".startswith(f"{fault['pointer']}/") or fault["pointer"].startswith(case.at)
    assert fault["pointer"]
    assert case.words in fault["detail"]


INSTALLED = {
    "a wrong key": ([{"surfce": "loft"}], "/installed/0/surfce", "did you mean `surface`?"),
    "no list": ({"surface": "loft"}, "/installed", "'everything'; or a list is needed here"),
    "a wrong word": ("evrything", "/installed", "'everything'; or a list is needed here"),
    "nothing in it": ([], "/installed", "this list must have at least 1 item"),
}


@pytest.mark.parametrize("wrong", INSTALLED)
def test_of_what_may_be_said_in_two_ways_one_fault_is_told(wrong: str) -> None:
    """That of the way that was meant: `installed` is a word, or a list of objects."""
    value, pointer, words = INSTALLED[wrong]
    found = asked(changed(base("changes"), "/installed", value), "changes")
    (fault,) = json.loads(found.body)["faults"]
    assert (fault["pointer"], words in fault["detail"]) == (pointer, True)


def test_every_code_of_shape_and_text_is_provoked() -> None:
    """Here, or in a test that names it."""
    texts = "".join(file.read_text(encoding="utf-8") for file in (ROOT / "tests").rglob("*.py")
                    if file.name not in (Path(__file__).name, "test_cures.py"))  # fmt: skip
    every = {one["code"] for one in codes() if one["sort"] in ("shape", "json")}
    named = {code for code in every if f'"{code}"' in texts}
    assert every - named == set(PROVOKED) - named
