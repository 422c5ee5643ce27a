"""Laws of every registered kind, tried on its own examples: a new kind is held to them unasked."""

from __future__ import annotations

import csv
import io
import json
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.compute import CSV, JSON, SVG, Outcome, Picked
from tests.independent import any_kind, drawn
from tests.strategies import kinds, transforms
from tests.strategies.asking import Request, answered, asked, body_of, in_forms
from tests.strategies.budget import FEW
from tests.strategies.kinds import each_example, request_of

MOVES = ((0, 0), (37, -210))
"""How far every corner is moved, in the request's unit."""

SIZES = st.floats(0.4, 1.6).map(lambda share: round(share, 2))


@cache
def in_all_forms(body: bytes) -> list[Outcome]:
    """Tables, drawing and order of an example, taken off once."""
    return in_forms(body, map(Picked, (JSON, SVG, CSV)))


def told(example: Path) -> Request:
    """The tables of the answer to an example."""
    found = in_all_forms(body_of(request_of(example)))[0]
    assert found.kind == "answer", found.body
    tables: Request = json.loads(found.body)
    return tables


def sound(request: Request, found: Request) -> Request:
    """The answer, which must add up."""
    assert any_kind.faults(request, found) == []
    return found


@each_example()
def test_an_example_goes_through_and_adds_up(example: Path) -> None:
    found = sound(request_of(example), told(example))
    laid = [row for row in found["layers"] if row["kind"] == kinds.kind_of(example)]
    assert laid
    assert all(row["pieces"] and row["installed"] > 0 for row in laid)


@each_example()
def test_the_order_of_keys_changes_no_byte(example: Path) -> None:
    request = request_of(example)
    turned = json.dumps(transforms.keys_reversed(request), indent=2).encode()
    plain = in_all_forms(body_of(request))
    assert [one.kind for one in plain] == ["answer"] * 3, plain
    assert [one.body for one in in_all_forms(turned)] == [one.body for one in plain]


@each_example()
def test_where_a_surface_is_drawn_from_changes_nothing(example: Path) -> None:
    """Every corner moved alike: what is laid, cut and bought is the same, and moved with them."""
    here, there = (
        transforms.translated(kinds.in_numbers(request_of(example)), *by) for by in MOVES
    )
    one, other = answered(here), answered(there)
    for table, rows in drawn.placeless(one).items():
        assert rows == drawn.placeless(other)[table], table
    assert drawn.places(one) == pytest.approx(drawn.places(other), abs=1e-5)


@each_example()
def test_a_second_surface_alike_is_laid_alike(example: Path) -> None:
    """Courses of the first stay, and those of the second are the same."""
    request = request_of(example)
    twins = [surface | {"id": f"{surface['id']}-2"} for surface in request["surfaces"]]
    both = request | {"surfaces": [*request["surfaces"], *twins]}
    alone, together = told(example), sound(both, answered(both))
    for surface in request["surfaces"]:
        rows = [
            [{**row, "surface": ""} for row in found["courses"] if row["surface"] == name]
            for found, name in ((alone, surface["id"]), (together, surface["id"]),
                                (together, f"{surface['id']}-2"))
        ]  # fmt: skip
        assert rows[0] == rows[1] == rows[2]


@each_example()
def test_the_drawing_and_the_order_show_every_layer(example: Path) -> None:
    """The drawing names each layer's kind in words; the order's lines are those of the answer."""
    request = request_of(example)
    found = told(example)
    _, drawing, order = in_all_forms(body_of(request))
    texts = "".join(ElementTree.fromstring(drawing.body).itertext())
    for surface, layer in kinds.layers_of(request):
        assert surface["id"] in texts
        assert layer["kind"].replace("_", " ") in texts
    text = order.body.decode()
    lines = list(csv.DictReader(io.StringIO(text)))
    assert [row["item"] for row in lines] == [row["item"] for row in found["order"]]
    assert [float(row["buy"]) for row in lines] == [row["buy"] for row in found["order"]]


@each_example()
def test_other_sizes_add_up_or_are_refused_by_name(example: Path) -> None:
    """Rectangles of other sizes, without openings: sound, or refused with a place and a rule."""

    @FEW
    @given(along=SIZES, across=SIZES)
    def law(along: float, across: float) -> None:
        request = kinds.resized(request_of(example), along, across)
        outcome = asked(request)
        if outcome.kind == "answer":
            sound(request, json.loads(outcome.body))
            return
        assert outcome.kind == "TradeRefused", outcome.body
        assert all(fault["pointer"] for fault in json.loads(outcome.body)["faults"])

    law()
