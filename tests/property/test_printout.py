"""The takeoff on paper, for any job and any width of page: it fits, is whole, and adds up."""

from __future__ import annotations

import json
import re
from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.compute import TEXT, Picked, answer
from service.products.registry import nouns
from service.report.printout.written import printout
from tests.independent import paper
from tests.strategies.asking import Request, answered, asked, body_of
from tests.strategies.budget import FEW
from tests.strategies.build_ups import build_ups
from tests.strategies.jobs import jobs
from tests.strategies.kinds import each_example, request_of
from tests.strategies.requests import board, job, room

MISREAD = re.compile(r"\d' \d+/\d|(?<!\d)0' ")
"""`2' 15/16"` reads as 2-15/16 or as 215/16; `0' 4"` is 4"."""
INCHES = re.compile(r"\d\"|\d' \d|\d in\b(?! place)")
MILLIMETRES = re.compile(r"\d mm\b")

WIDTHS = (60, 61, 72, 80, 99, 100)


def breaches(flat: dict[str, Any], columns: int) -> list[str]:
    """What is wrong with an answer on paper."""
    text = printout(flat, nouns(), columns)
    found = [f"too wide: {line}" for line in text.splitlines() if len(line) > columns]
    if Counter(paper.cut_names(text)) != names(flat):
        found.append(f"pieces: {Counter(paper.cut_names(text)) - names(flat)} too many, "
                     f"{names(flat) - Counter(paper.cut_names(text))} missing")  # fmt: skip
    if sorted(paper.bought(text)) != sorted(float(row["buy"]) for row in flat["order"]):
        found.append(f"bought: {paper.bought(text)}")
    found += [f"can be misread: {line}" for line in text.splitlines() if MISREAD.search(line)]
    other = INCHES if flat["units"]["length"] in ("mm", "cm", "m") else MILLIMETRES
    told = [*(row["text"] for row in flat["findings"]), *text.splitlines()]
    found += [f"of the other system: {line}" for line in told if other.search(line)]
    if paper.totals(text) and Fraction(paper.totals(text)[0]) != price(flat):
        found.append(f"total: {paper.totals(text)}")
    return found


def names(flat: dict[str, Any]) -> Counter[str]:
    """What each piece is called; what stands behind is told by its length and has no name."""
    behind = {row["product"] for row in flat["backing"]}
    laid = {row["product"] for row in flat["pieces"]}
    return Counter(paper.called(flat["pieces"])) + Counter(
        name
        for stick in flat["sticks"]
        if stick["product"] not in laid | behind
        for name in stick["pieces"]
    )


def price(flat: dict[str, Any]) -> Fraction:
    """What the order costs, to the cent, half to even as the paper has it."""
    return round(sum(Fraction(str(row["price"] or 0)) for row in flat["order"]), 2)


def holds(request: Request, widths: tuple[int, ...] = WIDTHS) -> None:
    found = asked(request)
    if found.kind == "answer":
        flat = json.loads(found.body)
        assert [one for columns in widths for one in breaches(flat, columns)] == []


@pytest.mark.parametrize(
    ("type_", "told", "not_told"),
    [
        ("ceiling", ["driven upward", "overhead are heavy"], ["opening in a floor"]),
        ("soffit", ["driven upward", "overhead are heavy"], ["opening in a floor"]),
        ("wall", [], ["driven upward", "overhead are heavy", "opening in a floor"]),
        ("floor", ["opening in a floor"], ["driven upward", "overhead are heavy"]),
        ("deck", ["opening in a floor"], ["driven upward", "overhead are heavy"]),
    ],
)
def test_cautions_fit_the_surface(type_: str, told: list[str], not_told: list[str]) -> None:
    """Boards over sheets, on each type of surface."""
    request = job(room(120, 96), board("10 ft"))
    request["surfaces"][0] |= {"type": type_}
    request["surfaces"][0]["layers"].insert(0, {"id": "panels", "kind": "sheathing",
                                                "product": "panel"})  # fmt: skip
    request["products"].append({"id": "panel", "form": "sheet", "width": 48, "thickness": 0.5,
                                "stock": [{"length": 96}]})  # fmt: skip
    cautions = " ".join(row["text"] for row in answered(request)["cautions"])
    assert [text for text in told if text not in cautions] == []
    assert [text for text in not_told if text in cautions] == []


EXAMPLES = sorted(Path(__file__).parents[2].glob("openapi/examples/*.json"))


@each_example()
def test_each_example_of_a_kind_is_whole_on_paper(example: Path) -> None:
    holds(request_of(example))


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda one: one.name)
def test_the_examples_of_the_document_are_whole_on_paper(example: Path) -> None:
    holds(request_of(example))


@FEW
@given(jobs(), st.integers(60, 100))
def test_any_job_of_boards_is_whole_on_paper(request: Request, columns: int) -> None:
    holds(request, (columns,))


@FEW
@given(build_ups(), st.integers(60, 100))
def test_any_build_up_is_whole_on_paper(request: Request, columns: int) -> None:
    holds(request, (columns,))


@FEW
@given(build_ups(), st.integers(60, 100))
def test_the_service_sends_what_the_answer_says(request: Request, columns: int) -> None:
    """Text is printed from the very answer that a client reads as JSON."""
    found = asked(request)
    if found.kind == "answer":
        sent = answer(body_of(request), Picked(TEXT, columns=columns))
        assert (sent.kind, sent.media) == ("answer", TEXT)
        assert sent.body.decode() == printout(json.loads(found.body), nouns(), columns)


def test_a_page_that_does_not_hold_is_found() -> None:
    """Each law of this file is broken by an answer that breaks it."""
    flat = json.loads(asked(request_of(EXAMPLES[0])).body)
    text = printout(flat, nouns(), 80)
    assert paper.bought(text) != []
    assert paper.cut_names(text) != []
    spoiled = flat | {"pieces": flat["pieces"][1:]}
    assert any(one.startswith("pieces") for one in breaches(spoiled, 80))
