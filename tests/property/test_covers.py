"""Gaps of boards at walls are covered by a moulding that is wide enough, or a finding says so.

What is to be covered is measured on the pieces as they lie, wall by wall; a whole first course of
tongue and groove has its open groove there as well (3.10).
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.ops import unary_union

from tests.independent import drawn
from tests.strategies import requests, shapes, trim
from tests.strategies.asking import answered, asked
from tests.strategies.budget import LAW
from tests.strategies.requests import changed

Request = dict[str, Any]

COVE: Request = {"id": "cove", "kind": "trim", "product": "cove"}
TONGUE = requests.OVERALL - requests.COVER


def codes(answer: Request) -> dict[str, Request]:
    return {row["code"]: row for row in answer["findings"]}


def with_cove(request: Request, projection: float, **more: Any) -> Request:
    """The request with a cove round the room after its boards."""
    layers = [*request["surfaces"][0]["layers"], COVE | more]
    products = [*request["products"], trim.moulding("40 ft", projection=projection)]
    return changed(changed(request, "/surfaces/0/layers", layers), "/products", products)


def to_cover(answer: Request) -> float:
    """The widest that boards leave at a wall of a rectangle, with the groove where it is open."""
    boards = unary_union(list(drawn.pieces(answer, "loft", "boards").values())).bounds
    walls = drawn.outline(answer, "loft").bounds
    wide = [abs(a - b) for a, b in zip(boards, walls, strict=True)]
    first = answer["courses"][0]
    if first["rip"] == "none":
        wide[1 if first["near"] < first["far"] else 3] += TONGUE
    return max(wide)


@LAW
@given(
    points=shapes.rectangles(40, 100), reach=st.sampled_from([0.25, 0.4375, 0.5, 0.5625, 0.75, 1]),
    start=st.sampled_from([{}, {"start": "full_first"}, {"start_side": "high"}]),
)  # fmt: skip
def test_a_moulding_that_is_too_narrow_is_told(
    points: shapes.Points, reach: float, start: Request
) -> None:
    request = requests.job(requests.outline(points, layer={"direction": 0, "joints": "anywhere"}
                                            | start), effort="quick")  # fmt: skip
    outcome = asked(with_cove(request, reach))
    if outcome.kind == "TradeRefused":
        return  # what would be left of the last course is no rip
    answer = json.loads(outcome.body)
    wide, found = to_cover(answer), codes(answer)
    assert "gap-uncovered" not in found
    assert ("moulding-narrow" in found) == (reach < wide - 1e-4)
    if "moulding-narrow" in found:
        assert found["moulding-narrow"]["limit"] == pytest.approx(wide, abs=1e-4)


@LAW
@given(points=shapes.rectangles(40, 100), start=st.sampled_from([{}, {"start": "balanced"}]))
def test_without_a_moulding_the_one_that_covers_is_named(
    points: shapes.Points, start: Request
) -> None:
    request = requests.job(requests.outline(points, layer={"direction": 0, "joints": "anywhere"}
                                            | start), effort="quick")  # fmt: skip
    answer = answered(request)
    assert codes(answer)["gap-uncovered"]["measure"] == pytest.approx(to_cover(answer), abs=1e-4)


ROOM = requests.job(requests.room(180, 120))
LAYER = "/surfaces/0/layers/0"


@pytest.mark.parametrize("said", ["covered", "bare"])
def test_what_the_caller_said_of_the_edges_is_no_assumption(said: str) -> None:
    assert "gap-uncovered" not in codes(answered(changed(ROOM, f"{LAYER}/edges", said)))


def test_walls_along_which_no_moulding_runs_are_told_by_themselves() -> None:
    """Along three walls of four: what is left is the one of 120 in."""
    found = codes(answered(with_cove(ROOM, 1.75, edges=[0, 1, 2])))
    assert "1 wall, 10.0 ft in all" in found["gap-uncovered"]["text"]


def test_an_edge_that_is_a_mitre_has_no_gap_to_be_covered() -> None:
    """Nor one that is bare, nor one of which it was said that it is covered."""
    edges = [{"edge": 0, "is": "mitre"}, {"edge": 1, "is": "bare"}, {"edge": 2, "is": "covered"}]
    found = codes(answered(changed(ROOM, "/surfaces/0/edges", edges)))
    assert "1 wall, 10.0 ft in all" in found["gap-uncovered"]["text"]
