"""Wrap on rectangles of all sorts: caps, tape and ledger by other methods, and what cannot fall.

What lies where is checked for every shape of surface in `test_build_ups`.
"""

from __future__ import annotations

import json
from copy import deepcopy
from itertools import product
from math import ceil, pi
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.compute import Picked, answer
from tests.independent import wrapping
from tests.independent.wrapping import Wrapped
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

TURN = 2
SQUARE_INCH = 2 * 1_016_000**2
"""Half square ticks in a square inch."""


@st.composite
def wraps(draw: st.DrawFn, directions: tuple[int | None, ...] = (None, 0, 90)) -> Request:
    """A rectangle in whole inches with up to two small openings that lie apart."""
    length, width = draw(st.integers(60, 400)), draw(st.integers(60, 200))
    hole = st.tuples(st.integers(6, 24), st.integers(6, 40))
    openings = [
        {"id": f"o{k}", "rectangle": [5 + k * 30, draw(st.integers(3, 15)), *draw(hole)]}
        for k in range(draw(st.integers(0, 2)))
    ]
    direction = draw(st.sampled_from(directions))
    layer = {"kind": "wrap", "product": "roll", "tape": "tape"}
    supports = {"direction": draw(st.sampled_from([0, 90])),
                "spacing": draw(st.sampled_from([12, 16, 19.2, 24]))}  # fmt: skip
    return {
        "unit": "in",
        "rules": {"wrap_lap": draw(st.sampled_from([2, 4, 6, 8]))},
        "surfaces": [
            {
                "id": "area",
                "view": "facing",
                "rectangle": [length, width],
                "supports": supports,
                "openings": openings,
                "layers": [layer | ({} if direction is None else {"direction": direction})],
            }
        ],
        "products": [
            {"id": "roll", "form": "roll", "width": draw(st.sampled_from([36, 54, 108])),
             "stock": [{"length": draw(st.sampled_from(["15 ft", "40 ft", "100 ft"]))}]},
            {"id": "tape", "form": "tape", "width": 2.5, "length": "165 ft"},
        ],
    }  # fmt: skip


def rolls(answer: Request) -> int:
    """How many rolls of wrap are bought."""
    return sum(row["buy"] for row in answer["order"] if row["form"] == "roll")


@LAW
@given(request=wraps())
def test_caps_on_members_are_counted_point_by_point(request: Request) -> None:
    made = answered(request)
    counted = sum(row["count"] for row in made["fasteners"] if row["where"] == "line")
    assert counted == wrapping.caps_on_members(Wrapped(request, made))


@LAW
@given(request=wraps())
def test_tape_is_as_long_as_the_laps(request: Request) -> None:
    made = answered(request)
    lengths = {row["where"]: row["length"] for row in made["consumables"]}
    for where, length in wrapping.tape(Wrapped(request, made)).items():
        assert lengths.get(where, 0) == pytest.approx(length, abs=0.01)


@LAW
@given(request=wraps(), clearance=st.integers(0, 24), gap=st.integers(0, 8),
       form=st.sampled_from(["rectangle", "circle"]), turn=st.sampled_from([0, 90]))  # fmt: skip
def test_tape_and_caps_go_round_what_is_cut(
    request: Request, clearance: int, gap: int, form: str, turn: int
) -> None:
    """Clearance and saw gap lie between the opening and the wrap's edge (5.1, 13.5, 13.6)."""
    sides, out = (9, 13)[:: 1 if turn else -1], (clearance + gap) / 16
    shape = {"rectangle": [20, 18, *sides]} if form == "rectangle" else {"circle": [28, 30, 11]}
    hole = shape | {"id": "o", "clearance": clearance / 16, "cut_gap": gap / 16}
    request["surfaces"][0]["openings"] = [hole]
    made = answered(request)
    edge = 2 * (sum(sides) + 4 * out) if form == "rectangle" else pi * (11 + 2 * out)
    bends = 4 * 2.5 if form == "rectangle" else pi * 2.5
    tape = {row["where"]: row["length"] for row in made["consumables"]}
    assert tape["openings"] == pytest.approx(edge + bends, abs=1e-5)
    caps = {row["where"]: row["count"] for row in made["fasteners"]}
    assert caps["opening"] == ceil(round(edge / made_spacing(made), 3))


def made_spacing(made: Request) -> float:
    """How far apart caps round openings are, as answered."""
    found: float = next(row["spacing"] for row in made["fasteners"] if row["where"] == "opening")
    return found


@LAW
@given(request=wraps())
def test_the_ledger_by_whole_polygons(request: Request) -> None:
    """And nothing is moved by snapping where everything is square."""
    made = answered(request)
    own = {row["account"]: int(row["half_square_ticks"]) / SQUARE_INCH for row in made["ledger"]}
    for account, area in wrapping.accounts(Wrapped(request, made), TURN).items():
        assert own[account] == pytest.approx(area, abs=0.05)
    assert own["snap"] == 0


@LAW
@given(request=wraps())
def test_end_laps_of_neighbouring_widths_lie_apart(request: Request) -> None:
    """12 in (13.1), by the pieces' own ends."""
    ends: dict[int, list[float]] = {}
    joined = answered(request)
    pieces = {row["id"]: row for row in joined["pieces"]}
    for row in joined["joints"]:
        first = pieces[row["between"][0]]
        ends.setdefault(first["course"], []).append(first["to"])
    for width, own in ends.items():
        for at in own:
            assert all(abs(at - other) > 11.999 for other in ends.get(width + 1, []))


@FEW
@given(request=wraps((None,)))
def test_the_direction_taken_buys_no_more_than_the_other(request: Request) -> None:
    taken = rolls(answered(request))
    for direction in (0, 90):
        other = deepcopy(request)
        other["surfaces"][0]["layers"][0]["direction"] = direction
        assert taken <= rolls(answered(other))


@FEW
@given(request=wraps((None,)), other=wraps((None,)))
def test_two_surfaces_that_share_rolls_run_so_that_both_together_buy_the_least(
    request: Request, other: Request
) -> None:
    """Of every pair of directions, whatever each surface would take by itself (19.2)."""
    request["surfaces"] += [other["surfaces"][0] | {"id": "other"}]
    request["products"][0]["stock"] = [{"length": "15 ft", "price": 7},
                                       {"length": "40 ft", "price": 17}]  # fmt: skip
    taken = answered(request)["cut_plans"][0]["cost"]
    for ways in product((0, 90), (0, 90)):
        fixed = deepcopy(request)
        for surface, way in zip(fixed["surfaces"], ways, strict=True):
            surface["layers"][0]["direction"] = way
        assert taken <= answered(fixed)["cut_plans"][0]["cost"]


@FEW
@given(request=wraps((0, 90)), more=st.integers(1, 6))
def test_a_longer_lap_never_buys_less(request: Request, more: int) -> None:
    """Where the plan with the shorter lap is proved."""
    longer = deepcopy(request)
    longer["rules"]["wrap_lap"] += more
    short, long = answered(request), answered(longer)
    if short["cut_plans"][0]["optimal"]:
        assert rolls(short) <= rolls(long)


@FEW
@given(request=wraps((0, 90)))
def test_an_opening_never_changes_the_rolls(request: Request) -> None:
    """Wrap is laid over it and cut out (13.4)."""
    closed = deepcopy(request)
    closed["surfaces"][0]["openings"] = []
    assert answered(request)["order"][0] == answered(closed)["order"][0]


@FEW
@given(request=wraps())
def test_the_same_request_gives_the_same_bytes(request: Request) -> None:
    body = json.dumps(request).encode()
    assert answer(body, Picked()).body == answer(body, Picked()).body


@LAW
@given(request=wraps())
def test_no_width_is_one_too_many(request: Request) -> None:
    """Without the last one the far edge, with its turn-down, would lie bare (13.2)."""
    made = answered(request)
    across = request["surfaces"][0]["rectangle"][made["layers"][0]["direction"] == 0]
    reached = [max(row["near"], row["far"]) for row in made["courses"]]
    assert reached[-1] >= across + TURN
    assert all(edge < across + TURN for edge in reached[:-1])
