"""The order: needs are the cut sticks, with culls, spares and multiples, packed once."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tests.independent import reader
from tests.independent.measure import ticks
from tests.strategies import jobs, requests
from tests.strategies.asking import answered, asked, refused
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]


def board_rows(answer: Request) -> list[Request]:
    """Lines of the order that are boards."""
    return [row for row in answer["order"] if row["form"] == "board"]


@LAW
@given(request=jobs.jobs(), cull=st.sampled_from([0, 5, 12.5]), spare=st.integers(0, 3))
def test_needs_are_the_cut_sticks(request: Request, cull: float, spare: int) -> None:
    """One line a length: need, culls as need / (1 - x) and not need times x, and spares."""
    answer = answered(request | {"rules": {"cull": cull, "spare": spare}})
    cut = reader.sticks_by_length(answer, "pine")
    needs = {ticks(row["length"], "in"): row["need"] for row in board_rows(answer)}
    assert needs == dict(cut)
    for row in board_rows(answer):
        assert row["cull"] == reader.culled(row["need"], Fraction(str(cull)))
        assert row["spare"] == spare
        assert row["buy"] == row["need"] + row["cull"] + row["spare"]


@LAW
@given(request=jobs.jobs())
def test_bought_is_not_under_cut_and_cut_not_under_placed(request: Request) -> None:
    """Bought >= sticks >= placed >= installed / coverage, as lengths."""
    answer = answered(request)
    bought = sum(row["length"] * row["buy"] for row in board_rows(answer))
    sticks = sum(row["length"] for row in answer["sticks"])
    placed = sum(piece["length"] for piece in answer["pieces"])
    cover = request["products"][0]["coverage"]
    installed = sum(row["installed"] for row in answer["surfaces"]) * 144 / cover
    give = 1e-4 * len(answer["pieces"])
    assert bought + give >= sticks >= placed - give
    assert placed >= installed - len(answer["pieces"]) / 16 - give
    assert answer["summary"]["sticks"] == sum(row["buy"] for row in board_rows(answer))
    assert answer["summary"]["bought"] == pytest.approx(bought, abs=give)
    assert answer["summary"]["placed"] == pytest.approx(placed, abs=give)


@FEW
@given(multiple=st.integers(2, 12), width=st.integers(40, 150))
def test_multiples_are_whole_packs(multiple: int, width: int) -> None:
    """Bought in packs, never a whole pack too many."""
    stock = {"length": "16 ft", "multiple": multiple}
    request = requests.job(requests.room(180, width), requests.board(stock))
    (row,) = board_rows(answered(request))
    assert row["buy"] % multiple == 0
    assert row["need"] <= row["buy"] < row["need"] + multiple
    assert row["packages"] * row["per_package"] == row["buy"]


@FEW
@given(
    per_box=st.integers(50, 400), loss=st.sampled_from([0, 5, 10, 20]), width=st.integers(40, 150)
)
def test_boxes_hold_the_count_and_its_loss(per_box: int, loss: int, width: int) -> None:
    """ceil(n (1 + loss)) in boxes; what is left over is under one box."""
    nail = {"id": "nail", "form": "fastener", "lengths": [2, 2.5], "shank": "ring",
            "per_box": per_box}  # fmt: skip
    area = requests.room(180, width, layer={"fastening": {"product": "nail"}})
    request = requests.job(area, requests.board("16 ft"), nail, rules={"loss_hand": loss})
    answer = answered(request)
    lines = [row for row in answer["order"] if row["product"] == "nail"]
    counts: dict[float, int] = {}
    for row in answer["fasteners"]:
        counts[row["length"]] = counts.get(row["length"], 0) + row["count"]
    assert {row["length"]: row["need"] for row in lines} == counts
    for row in lines:
        assert row["loss"] == reader.lost(row["need"], Fraction(loss))
        assert row["packages"] == math.ceil((row["need"] + row["loss"]) / per_box)
        assert row["left_over"] == row["packages"] * per_box - row["need"] - row["loss"]


BY_THE_POUND = st.decimals(Decimal("1.34"), 900, places=2)
"""With the lightest pack of 0.75 lb there is one piece in it at least."""

POUNDS = st.sampled_from(["1", "5", "25", "50", "2.5", "0.75"])


@FEW
@given(
    per_pound=BY_THE_POUND, pounds=POUNDS, loss=st.sampled_from([0, 5, 12.5]),
    width=st.integers(40, 150),
)  # fmt: skip
@example(per_pound=Decimal("4.5"), pounds="1", loss=5, width=60)
def test_packs_by_weight_are_rounded_once(
    per_pound: Decimal, pounds: str, loss: float, width: int
) -> None:
    """Pieces with their loss over pieces in a pound, in whole packs, exactly (0.2, 19.1).

    A pack need not hold a whole number of pieces; the weight is that of the packs.
    """
    nail = {"id": "nail", "form": "fastener", "lengths": [2.5], "shank": "ring", "price": "10.00",
            "per_pound": float(per_pound), "pounds": float(pounds)}  # fmt: skip
    area = requests.room(180, width, layer={"fastening": {"product": "nail"}})
    request = requests.job(area, requests.board("16 ft"), nail, rules={"loss_hand": loss})
    answer = answered(request)
    (row,) = (row for row in answer["order"] if row["product"] == "nail")
    need = sum(line["count"] for line in answer["fasteners"])
    pieces = need + reader.lost(need, Fraction(str(loss)))
    each = Fraction(str(per_pound)) * Fraction(pounds)
    packs = math.ceil(pieces / each)
    assert (row["need"], row["packages"]) == (need, packs)
    assert row["per_package"] == pytest.approx(float(each))
    assert row["buy"] == math.floor(packs * each)
    assert row["left_over"] == row["buy"] - pieces >= 0
    assert row["weight"] == pytest.approx(float(packs * Fraction(pounds)), abs=1e-3)
    assert row["price"] == 10 * packs


def test_a_pack_holds_one_piece_at_least() -> None:
    """1.2 a pound in packs of 0.75 lb is 0.9: refused as a slip, at the product."""
    nail = {"id": "nail", "form": "fastener", "lengths": [2], "shank": "ring",
            "per_pound": 1.2, "pounds": 0.75}  # fmt: skip
    kind, (fault,) = refused(requests.job(requests.room(180, 60), requests.board("16 ft"), nail))
    assert (kind, fault["code"], fault["pointer"]) == ("ShapeRefused", "pack", "/products/1")


def test_stock_on_hand_is_a_hard_cap() -> None:
    """Never more sticks of a length than there are."""
    stock = [{"length": "16 ft", "on_hand": 5}, {"length": "18 ft"}]
    request = requests.job(requests.room(180, 60), requests.board(*stock))
    bought = {row["length"]: row["buy"] for row in board_rows(answered(request))}
    assert bought[192.0] <= 5
    assert sum(bought.values()) == 12


def test_least_cost_is_the_default_where_everything_is_priced() -> None:
    """Dear 16 ft boards are left for cheap 18 ft ones; without a price the shorter are taken."""
    dear = [{"length": "16 ft", "price": "60.00"}, {"length": "18 ft", "price": "20.00"}]
    priced = answered(requests.job(requests.room(180, 60), requests.board(*dear), currency="USD"))
    assert {row["length"] for row in board_rows(priced)} == {216.0}
    assert priced["cut_plans"][0]["objective"] == "least_cost"
    assert priced["cut_plans"][0]["cost"] == 12 * 20
    assert sum(row["price"] for row in board_rows(priced)) == 12 * 20
    plain = [{"length": "16 ft"}, {"length": "18 ft", "price": "20.00"}]
    bare = answered(requests.job(requests.room(180, 60), requests.board(*plain), currency="USD"))
    assert bare["cut_plans"][0]["objective"] == "least_length"
    assert {row["length"] for row in board_rows(bare)} == {192.0}


@LAW
@given(request=jobs.rectangular(), flat=st.sampled_from([0, 10, 15]))
def test_the_flat_rule_is_area_over_coverage(request: Request, flat: int) -> None:
    """Drawn area by 12 / coverage, and the percentage on top; the error is its excess."""
    answer = answered(request | {"rules": {"flat_pct": flat}})
    (row,) = answer["compared"]
    drawn = answer["summary"]["drawn"] * 144 / request["products"][0]["coverage"]
    assert row["flat_pct"] == flat
    assert row["would_order"] == pytest.approx(drawn * (1 + flat / 100), rel=1e-6)
    assert row["bought"] == pytest.approx(answer["summary"]["bought"], abs=1e-3)
    assert row["wrong_by"] == pytest.approx(row["would_order"] - row["bought"], abs=1e-3)


@LAW
@given(
    request=jobs.jobs(), cull=st.sampled_from([0, 5, 12.5]), spare=st.integers(0, 2),
    multiple=st.sampled_from([1, 1, 4]), priced=st.booleans(),
    objective=st.sampled_from([None, "fewest_sticks", "fewest_joints"]),
)  # fmt: skip
def test_plan_and_order_never_contradict_each_other(
    request: Request, cull: float, spare: int, multiple: int, priced: bool, objective: str | None
) -> None:
    """A plan costs its sticks; `ordered` is the lines of the order, and the words say both."""
    whole = request | {"rules": {"cull": cull, "spare": spare}, "currency": "USD"}
    whole |= {} if objective is None else {"objective": objective}
    row = stock_rows(whole, multiple)
    if priced:
        row = [one | {"price": f"{9 + 4 * k}.35"} for k, one in enumerate(row)]
    answer = answered(requests.changed(whole, "/products/0/stock", row))
    (plan,) = answer["cut_plans"]
    rows = board_rows(answer)
    measures: dict[str, Callable[[str], float]] = {
        "money": lambda key: sum(one["price"] / one["buy"] * one[key] for one in rows),
        "length": lambda key: sum(one["length"] * one[key] for one in rows),
        "sticks": lambda key: sum(one[key] for one in rows),
    }
    if plan["measured_in"] == "joints":
        assert plan["ordered"] is None
        assert plan["cost"] == len(answer["joints"])
        return
    amount = measures[plan["measured_in"]]
    priced_joints = plan["joints"] * plan["joint_cost"]
    assert plan["joints"] == len(answer["joints"])
    assert plan["cost"] == pytest.approx(amount("need") + priced_joints, abs=1e-3)
    assert plan["ordered"] == pytest.approx(amount("buy"), abs=1e-3)
    beyond = any(one["buy"] > one["need"] for one in rows)
    assert (" before " in plan["in_words"]) == beyond
    assert ("What is bought of it comes to" in plan["in_words"]) == (beyond or priced_joints > 0)
    for name, word in (("cull", "culls"), ("spare", "spares"), ("left_over", "whole multiples")):
        assert (word in plan["in_words"]) == any(one[name] for one in rows)
    if plan["measured_in"] == "sticks":
        assert plan["bound"] == int(plan["bound"])
    if priced and objective is None and beyond:
        assert f"What is bought of it comes to {plan['ordered']:,.2f}." in plan["in_words"]


def stock_rows(request: Request, multiple: int) -> list[Request]:
    """The stock of the job's board, the second length sold in multiples."""
    rows = [dict(one) for one in request["products"][0]["stock"]]
    rows[1]["multiple"] = multiple
    return rows


@pytest.mark.parametrize("cull", [0, 10, 34])
@pytest.mark.parametrize("multiple", [1, 4])
def test_culls_spares_and_multiples_are_on_hand_too(cull: int, multiple: int) -> None:
    """What is on hand is never exceeded: other lengths serve, or the shortfall is told (8.9)."""
    few = {"length": "16 ft", "on_hand": 8, "multiple": multiple}
    rules = {"cull": cull, "spare": 1}
    area = requests.room(180, 60)
    request = requests.job(area, requests.board(few, {"length": "18 ft"}), rules=rules)
    answer = answered(request)
    bought = {row["length"]: row["buy"] for row in board_rows(answer)}
    assert bought.get(192, 0) <= 8
    assert sum(row["need"] for row in board_rows(answer)) == 12
    alone = requests.job(area, requests.board(few), rules=rules)
    _, (fault,) = refused(alone)
    assert fault["code"] == "stock-short"
    (edit,) = fault["cure"]
    row = board_rows(answered(requests.changed(alone, edit["path"], edit["value"])))[0]
    assert row["buy"] == edit["value"]
    assert f"{edit['value'] - 8} more of" in fault["detail"]


@FEW
@given(request=jobs.rectangular(), data=st.data())
def test_what_stock_short_tells_does_and_one_less_does_not(
    request: Request, data: st.DataObject
) -> None:
    """With so many more the job goes through; where no fewer are said to do, one less does not."""
    stock = request["products"][0]["stock"]
    rows = [{"length": one["length"], "on_hand": data.draw(st.integers(0, 9))} for one in stock]
    short = requests.changed(request, "/products/0/stock", rows)
    found = asked(short)
    if found.kind == "answer":
        return
    (fault,) = refused(short)[1]
    assert fault["code"] == "stock-short"
    (edit,) = fault["cure"]
    answered(requests.changed(short, edit["path"], edit["value"]))
    if "no fewer" in fault["detail"]:
        one_less = requests.changed(short, edit["path"], edit["value"] - 1)
        assert refused(one_less)[1][0]["code"] == "stock-short"
