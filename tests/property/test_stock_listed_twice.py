"""One length listed more than once for a product: at hand and bought, two prices, two spellings.

What two rows of a length offer together is what one row of both would: the same plan and bound,
the lower price used up first (8.9).
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import verifier
from tests.property.test_ledger import check_ledger
from tests.strategies import build_ups, requests
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW

Request = dict[str, Any]
Row = dict[str, Any]

CHEAP, DEAR = "7.25", "31.20"
SPELT = {"16 ft": (192, "16 ft", "192 in"), "8 ft": (96, "8.0 ft", "96 in"),
         "40 ft": (480, "40 feet", "480 in")}  # fmt: skip


def boards(*stock: Row) -> Request:
    """A porch of boards with a joint in each course."""
    return requests.job(requests.room(240, 60), requests.board(*stock), currency="USD")


def _layered(kind: str, form: str, *stock: Row, **product: Any) -> Request:
    goods = {"id": "goods", "form": form, "stock": list(stock)} | product
    layer = {"kind": kind, "product": "goods"}
    area = {"id": "wall", "rectangle": [300, 96], "supports": requests.supports()}
    return {"unit": "in", "currency": "USD", "surfaces": [area | {"layers": [layer]}],
            "products": [goods]}  # fmt: skip


def sheets(*stock: Row) -> Request:
    return _layered("sheathing", "sheet", *stock, width=48, thickness=0.5)


def rolls(*stock: Row) -> Request:
    return _layered("wrap", "roll", *stock, width=36)


FORMS: dict[str, tuple[Callable[..., Request], str]] = {
    "boards": (boards, "16 ft"), "sheets": (sheets, "8 ft"), "rolls": (rolls, "40 ft"),
}  # fmt: skip
EACH = pytest.mark.parametrize("form", FORMS)


def _plan(answer: Request) -> tuple[Any, ...]:
    (plan,) = answer["cut_plans"]
    return plan["cost"], plan["bound"], plan["optimal"]


def _lines(answer: Request) -> list[tuple[int, float | None]]:
    return sorted((row["buy"], round(row["price"], 2)) for row in answer["order"])


def _sound(request: Request, answer: Request) -> None:
    """What is cut is what is bought, and costs what the plan says."""
    cut = len(answer["sticks"]) + len(answer["sheets"])
    assert sum(row["buy"] for row in answer["order"]) == cut
    if answer["cut_plans"][0]["measured_in"] == "money":
        (plan,) = answer["cut_plans"]
        paid = sum(row["price"] for row in answer["order"])
        assert plan["cost"] == pytest.approx(paid + plan["joints"] * plan["joint_cost"])
    if answer["sticks"] and answer["courses"][0]["lap"] == 0:
        assert verifier.faults(request, answer) == []
        check_ledger(request, answer)


@EACH
def test_two_rows_alike_are_one(form: str) -> None:
    build, length = FORMS[form]
    once = answered(build({"length": length, "price": DEAR}))
    for spelling in SPELT[length]:
        request = build({"length": length, "price": DEAR}, {"length": spelling, "price": DEAR})
        twice = answered(request)
        _sound(request, twice)
        assert _plan(twice) == _plan(once)
        assert twice["order"] == once["order"]


def test_a_product_listed_twice_is_refused_by_name() -> None:
    """Beside what is wrong with the shape: it says what to do instead."""
    board = requests.board("8 ft", "12 ft")
    request = requests.job(requests.room(120, 50), board, dict(board), board | {"id": "oak"})
    kind, faults = refused(requests.changed(request, "/surfaces/0/supports/spacing", -1))
    assert kind == "ShapeRefused"
    assert {fault["pointer"] for fault in faults} == {
        "/products/1/id", "/surfaces/0/supports/spacing"
    }  # fmt: skip
    (twice,) = (fault for fault in faults if fault["code"] == "product-twice")
    assert "pine" in twice["detail"]
    assert "another id" in twice["detail"]
    assert answered(requests.changed(request, "/products/1/id", "spruce"))["order"]


@EACH
@pytest.mark.parametrize("own_first", [True, False])
@pytest.mark.parametrize("share", [1, 2])
def test_the_cheaper_is_used_up_first(form: str, own_first: bool, share: int) -> None:
    """As many as one row alone would take, the lower price to its last piece, both in the order."""
    build, length = FORMS[form]
    needed = answered(build({"length": length, "price": DEAR}))["order"][0]["buy"]
    on_hand = needed * share // 2 + (share == 2)
    rows = [{"length": length, "price": CHEAP, "on_hand": on_hand},
            {"length": SPELT[length][0], "price": DEAR}]  # fmt: skip
    request = build(*(rows if own_first else rows[::-1]))
    answer = answered(request)
    _sound(request, answer)
    own = min(on_hand, needed)
    expected = [(own, round(own * float(CHEAP), 2)),
                (needed - own, round((needed - own) * float(DEAR), 2))]  # fmt: skip
    assert _lines(answer) == sorted(line for line in expected if line[0])
    assert answer["cut_plans"][0]["bound"] <= answer["cut_plans"][0]["cost"]


@EACH
def test_what_is_at_hand_goes_first_where_the_price_is_alike(form: str) -> None:
    build, length = FORMS[form]
    rows = [{"length": length, "price": DEAR}, {"length": length, "price": DEAR, "on_hand": 3}]
    buys = [[row["buy"] for row in answered(build(*ones))["order"]] for ones in (rows, rows[::-1])]
    assert 3 in buys[0]
    assert 3 in buys[1]
    assert sorted(buys[0]) == sorted(buys[1])


@EACH
def test_without_prices_what_is_at_hand_goes_first(form: str) -> None:
    build, length = FORMS[form]
    answer = answered(build({"length": length}, {"length": length, "on_hand": 2}))
    assert Counter(row["buy"] for row in answer["order"])[2] >= 1
    _sound(build({"length": length}, {"length": length, "on_hand": 2}), answer)


@EACH
@pytest.mark.parametrize("objective", ["least_length", "fewest_sticks", "fewest_joints",
                                       "fewest_lengths"])  # fmt: skip
def test_every_objective_uses_the_lower_price_first(form: str, objective: str) -> None:
    """Also where only lengths or counts are minimised; two rows of a length are one length."""
    build, length = FORMS[form]
    rows = ({"length": length, "price": DEAR}, {"length": length, "price": CHEAP, "on_hand": 2})
    once = answered(build(rows[0]) | {"objective": objective})
    twice = answered(build(*rows) | {"objective": objective})
    assert _plan(once) == _plan(twice)
    assert (2, 2 * float(CHEAP)) in _lines(twice)


@EACH
def test_both_rows_at_hand_may_run_short_together(form: str) -> None:
    build, length = FORMS[form]
    needed = answered(build({"length": length}))["order"][0]["buy"]
    rows = [{"length": length, "on_hand": needed - 1}, {"length": length, "on_hand": 4}]
    answer = answered(build(*rows))
    assert answer["order"][0]["buy"] == needed - 1
    _sound(build(*rows), answer)
    _, (fault,) = refused(build({"length": length, "on_hand": 1}, {"length": length, "on_hand": 0}))
    assert fault["code"] == "stock-short"


@FEW
@given(request=build_ups.build_ups(), seed=st.randoms(use_true_random=False))
def test_any_stock_listed_twice_is_answered_alike(request: Request, seed: Any) -> None:
    """Every row once more, in any order: as many goods of each product and length."""
    before = answered(request)
    again = json.loads(json.dumps(request))
    for product in again["products"]:
        if "stock" in product:
            product["stock"] = [*product["stock"], *product["stock"]]
            if all(row.get("on_hand") is None for row in product["stock"]):
                seed.shuffle(product["stock"])
    after = answered(again)
    if all(plan["optimal"] for plan in (*before["cut_plans"], *after["cut_plans"])):
        costs = [[plan["cost"] for plan in one["cut_plans"]] for one in (before, after)]
        assert costs[0] == costs[1]
    for plan in after["cut_plans"]:
        assert plan["bound"] <= plan["cost"]
