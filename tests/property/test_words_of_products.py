"""What a product is called is written into the order, and moves no figure."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.compute import CSV, Picked, answer
from tests.strategies.asking import Request, answered, asked, body_of, refused
from tests.strategies.budget import FEW
from tests.strategies.build_ups import build_ups
from tests.strategies.requests import board, job, room

WORDS = ("species", "grade", "gauge", "coating", "description")


def figures(flat: Any) -> Any:
    """An answer without its sentences and the names of what is ordered."""
    if isinstance(flat, dict):
        return {key: figures(one) for key, one in flat.items() if key not in ("item", "in_words")}
    return [figures(one) for one in flat] if isinstance(flat, list) else flat


@FEW
@given(build_ups(), st.sets(st.sampled_from(WORDS), min_size=1), st.text("abz1/&=, ", min_size=1))
def test_words_move_no_figure(request: Request, named: set[str], word: str) -> None:
    """Nothing of them is interpreted, whatever they say."""
    told = dict.fromkeys(named, word[:40])
    products = [one | told for one in request["products"]]
    plain, said = asked(request), asked(request | {"products": products})
    assert plain.kind == said.kind
    if plain.kind == "answer":
        assert figures(json.loads(plain.body)) == figures(json.loads(said.body))


@pytest.mark.parametrize(
    ("more", "item"),
    [
        ({}, "pine 16' 0\""),
        ({"nominal": {"thickness": 1, "width": 6}}, "1x6 x 16 ft T&G pine"),
        ({"nominal": {"thickness": 1.25, "width": 6}}, "5/4x6 x 16 ft T&G pine"),
        ({"nominal": {"thickness": 1, "width": 6}, "species": "fir", "grade": "C"},
         "1x6 x 16 ft T&G fir C"),
        ({"description": "porch ceiling"}, "T&G porch ceiling 16' 0\""),
        ({"coating": "primed"}, "T&G pine primed 16' 0\""),
    ],
)  # fmt: skip
def test_a_line_of_the_order_reads_as_a_yard_says_it(more: Request, item: str) -> None:
    """Nominal size, length, pattern, and what the caller calls it (common practice)."""
    request = job(room(190, 60), board("16 ft", **more))
    found = answered(request)
    (line,) = found["order"]
    assert line["item"] == item
    assert f"{line['buy']} of {item}" in found["summary"]["in_words"]
    order = answer(body_of(request), Picked(CSV)).body.decode()
    (row,) = csv.DictReader(io.StringIO(order, newline=""))
    assert row["item"] == item


@pytest.mark.parametrize("word", WORDS)
@pytest.mark.parametrize("text", ["", "x" * 101, "a\nb", 6])
def test_words_are_bounded(word: str, text: object) -> None:
    """Not empty, not long, no control characters, and text."""
    kind, faults = refused(job(room(190, 60), board("16 ft", **{word: text})))
    assert kind in ("ShapeRefused", "MalformedJson")
    assert all(f"/products/0/{word}" in (row.get("pointer") or "") for row in faults
               if kind == "ShapeRefused")  # fmt: skip
