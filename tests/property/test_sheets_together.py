"""Layers of one sheet product are jointed together with its stock: never dearer, in any order."""

from __future__ import annotations

import json
from collections import defaultdict
from itertools import product
from typing import Any
from unittest.mock import patch

from hypothesis import assume, given
from hypothesis import strategies as st

from service.compute import answer
from service.errors import Fault, TradeRefused
from service.takeoff import pipeline
from tests.independent import build_up
from tests.independent.build_up import layers_behind
from tests.independent.joint_layouts import least_of_all, rows_of, stagger_of, ways_together
from tests.independent.measure import INCH, ticks
from tests.strategies.asking import answered, body_of
from tests.strategies.budget import FEW

Request = dict[str, Any]

MOST_WAYS, MOST_PIECES = 400, 7


@st.composite
def surfaces(draw: st.DrawFn, longest: int, widest: int) -> Request:
    """A rectangle or an L under sheets across its members."""
    length, high = draw(st.integers(60, longest)), draw(st.integers(30, widest))
    a, b = draw(st.integers(0, length // 2)), draw(st.integers(0, high // 2))
    corners = [[0, 0], [length, 0], [length, high - b], [length - a, high - b],
               [length - a, high], [0, high]]  # fmt: skip
    spacing = draw(st.sampled_from([12, 16, 24]))
    return {
        "type": "ceiling", "view": "facing",
        "outline": corners if a and b else [[0, 0], [length, 0], [length, high], [0, high]],
        "supports": {"direction": 90, "thickness": 1.5,
                     "at": list(range(spacing, length, spacing))},
        "layers": [{"kind": "sheathing", "product": "sheet", "direction": 0}],
    }  # fmt: skip


@st.composite
def pools(draw: st.DrawFn, most: int, longest: int, widest: int) -> Request:
    """Several surfaces that share one sheet, of one or two lengths, all priced or none."""
    several = draw(st.lists(surfaces(longest, widest), min_size=2, max_size=most))
    stock: list[Request] = [{"length": 95.875, "price": 30}]
    if draw(st.booleans()):
        stock.append({"length": 119.875, "price": draw(st.sampled_from([34, 38, 41]))})
        if draw(st.booleans()):
            stock[0]["on_hand"] = draw(st.integers(1, 3))
    if draw(st.booleans()):
        stock = [{key: one[key] for key in one if key != "price"} for one in stock]
    return {
        "unit": "in", "when_blocked": "relax",
        "surfaces": [one | {"id": f"area{k}"} for k, one in enumerate(several)],
        "products": [{"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
                      "stock": stock}],
    }  # fmt: skip


def apart(request: Request) -> Request:
    """The answer when each layer keeps the joints that it has alone."""
    with patch.object(pipeline, "chosen_with_stock", return_value={}):
        found: Request = json.loads(answer(body_of(request)).body)
    return found


def joints_of(found: Request) -> dict[str, list[tuple[int, float]]]:
    """Where the joints of each surface lie."""
    joints: dict[str, list[tuple[int, float]]] = defaultdict(list)
    for row in found["joints"]:
        joints[row["surface"]].append((row["course"], row["at"]))
    return joints


@FEW
@given(request=pools(4, 300, 150))
def test_no_pool_is_dearer_than_its_layers_as_each_is_jointed_alone(request: Request) -> None:
    """Nor has it joints nearer to corners, and where it costs as much its joints are the same."""
    together, alone = answered(request), apart(request)
    (plan,), (other,) = together["cut_plans"], alone["cut_plans"]
    assert plan["bound"] <= plan["cost"] <= other["cost"]
    assert plan["bound"] >= other["bound"]
    if plan["cost"] == other["cost"]:
        assert together["joints"] == alone["joints"]
        assert together["sheets"] == alone["sheets"]


@FEW
@given(request=pools(4, 300, 150))
def test_pooled_sheets_lie_and_are_sawn_as_they_should(request: Request) -> None:
    """By the verifiers of one layer: pieces tile, and sheets hold all that is cut."""
    found = answered(request)
    for layer in layers_behind(request, found, "sheathing"):
        assert build_up.sheet_layer_faults(layer) == []
    assert build_up.sheets_sawn_faults(request, found) == []
    assert build_up.ledger_faults(request, found) == []


@FEW
@given(request=pools(4, 300, 150), turn=st.integers(1, 3))
def test_the_order_of_surfaces_changes_neither_joints_nor_cost(request: Request, turn: int) -> None:
    areas = request["surfaces"]
    turned = request | {"surfaces": [*areas[turn % len(areas) :], *areas[: turn % len(areas)]]}
    one, other = answered(request), answered(turned)
    assert joints_of(one) == joints_of(other)
    for key in ("cost", "bound", "optimal", "gap_pct"):
        assert one["cut_plans"][0][key] == other["cut_plans"][0][key]


def least_by_trying(request: Request, found: Request) -> int | None:
    """The least cost of any joints of all layers and any cutting; None where that is too much."""
    stock = request["products"][0]["stock"]
    sheets = [(ticks(one["length"], "in"), ticks(47.875, "in"), one["price"]) for one in stock]
    longest = max(length for length, _, _ in sheets)
    rows, ways = [], [()]
    for area, layer in zip(
        request["surfaces"], layers_behind(request, found, "sheathing"), strict=True
    ):
        members = [ticks(at, "in") for at in area["supports"]["at"]]
        own = rows_of(layer, members, 3 * INCH // 4, longest)
        each = None if own is None else ways_together(own, stagger_of(members), MOST_WAYS)
        if own is None or not each or len(ways) * len(each) > MOST_WAYS:
            return None
        rows += own
        ways = [(*one, *more) for one, more in product(ways, each)]
    return least_of_all(rows, ways, sheets, MOST_PIECES)


@FEW
@given(request=pools(2, 180, 70))
def test_no_joints_and_no_cutting_of_a_pool_are_under_its_bound(request: Request) -> None:
    """Over every way of jointing all layers and every way of sawing their pieces from sheets."""
    stock = request["products"][0]["stock"]
    assume(all("price" in one and "on_hand" not in one for one in stock))
    assume(all(len(area["supports"]["at"]) > 1 for area in request["surfaces"]))
    found = answered(request)
    assume(not found["relaxed"])
    least = least_by_trying(request, found)
    assume(least is not None)
    (plan,) = found["cut_plans"]
    assert plan["bound"] <= least <= plan["cost"]
    assert plan["optimal"] == (plan["cost"] <= plan["bound"])


ROOMS: Request = {
    "unit": "in",
    "rules": {"panel_wall_gap": 0.125},
    "surfaces": [
        {"id": name, "type": "ceiling", "view": "facing", "rectangle": size,
         "supports": {"direction": 90, "spacing": 16, "first": 16, "thickness": 1.5},
         "layers": [{"kind": "sheathing", "product": "sheet", "direction": 0}]}
        for name, size in (("wide", [128, 48]), ("narrow", [112, 24]))
    ],
    "products": [{"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
                  "stock": [{"length": 95.875, "price": 30}]}],
}  # fmt: skip
"""Two rooms in inches: 128 x 48 and 112 x 24, members at 16."""


def test_two_rooms_whose_rests_fit_each_other_take_two_sheets_and_not_three() -> None:
    """By hand, in inches, with gaps and a kerf of 1/8.

    Alone the wide room is 95-13/16 + 31-13/16 and the narrow one 79-13/16 + 31-13/16; with a joint
    at 48 the narrow one is 47-13/16 + 63-13/16. Then one sheet holds 31-13/16 by 47-3/4, and beyond
    it (31-13/16 + 1/8 + 63-13/16 = 95-3/4) both strips of 23-3/4 (47-5/8 with the kerf).
    """
    (plan,) = answered(ROOMS)["cut_plans"]
    assert (plan["cost"], plan["bound"], plan["optimal"]) == (60, 60, True)
    assert joints_of(answered(ROOMS)) == {"wide": [(1, 96)], "narrow": [(1, 48)]}
    (other,) = apart(ROOMS)["cut_plans"]
    assert other["cost"] == 90


def test_where_what_lies_on_them_is_refused_layers_keep_the_joints_they_have_alone() -> None:
    refusal = TradeRefused(Fault("boards-blocked", "no joints are left", "/surfaces/0", rule="6.5"))
    with patch.object(pipeline, "settled", side_effect=refusal):
        found = json.loads(answer(body_of(ROOMS)).body)
    assert found == apart(ROOMS)
