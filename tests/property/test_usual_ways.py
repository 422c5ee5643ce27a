"""Cutting as you go, and a flat percentage, beside what is ordered (rules 8.10 and 10.3)."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.products.compared import AsYouGo, ComparedRow, compared_in_words
from tests.independent import verifier
from tests.independent.measure import FOOT
from tests.property.test_ledger import check_ledger
from tests.strategies import jobs, requests
from tests.strategies.asking import answered, refused
from tests.strategies.budget import LAW

Request = dict[str, Any]


@LAW
@given(request=jobs.rectangular(), rate=st.sampled_from([None, 0, 2]))
def test_no_order_is_beaten_by_cutting_as_you_go(request: Request, rate: int | None) -> None:
    """By the length, or where every stock has a price (dearer by the foot when longer) by cost."""
    if rate is not None:
        for number, item in enumerate(request["products"][0]["stock"]):
            feet = int(item["length"].split()[0])
            item["price"] = f"{feet * (1 + rate * number / 100):.2f}"
    answer = answered(request)
    (row,) = answer["compared"]
    if row["as_you_go"] is None:
        return
    if rate is None:
        assert row["as_you_go"] >= row["bought"] - 1e-3
        assert row["as_you_go_cost"] is row["cost"] is row["would_cost"] is None
        return
    assert row["as_you_go_cost"] >= row["cost"] - 0.005
    assert row["cost"] == pytest.approx(sum(line["price"] for line in answer["order"]))


@LAW
@given(request=jobs.jobs())
def test_what_is_cut_as_you_go_keeps_all_rules(request: Request) -> None:
    """One stock length, pieces from course to course in order, what was said of it beforehand."""
    planned = answered(request)
    (row,) = planned["compared"]
    if row["as_you_go"] is None:
        _, (fault,) = refused(request | {"method": "as_you_go"})
        assert (fault["code"], fault["cure"][0]["value"]) == ("not-as-you-go", "together")
        return
    answer = answered(request | {"method": "as_you_go"})
    assert verifier.faults(request, answer) == []
    check_ledger(request, answer)
    assert {stick["length"] for stick in answer["sticks"]} == {row["as_you_go_from"]}
    assert answer["summary"]["bought"] == pytest.approx(row["as_you_go"])
    place = {piece["id"]: number for number, piece in enumerate(answer["pieces"])}
    firsts = [min(place[name] for name in stick["pieces"]) for stick in answer["sticks"]]
    assert sorted(place[name] for stick in answer["sticks"] for name in stick["pieces"]) == list(
        range(len(place))
    )
    assert len(set(firsts)) == len(firsts)
    (plan,), (best,) = answer["cut_plans"], planned["cut_plans"]
    assert best["cost"] <= plan["cost"] + 1e-6
    assert plan["bound"] <= plan["cost"] + 1e-6


def test_twelve_foot_courses_cut_as_you_go() -> None:
    """Twelve courses of 143 in, all from 12 ft sticks of 143 in usable: one each, nothing wasted.

    From 16 ft sticks (191) too, 12: the 47-7/8 left starts no course that one stick holds.
    """
    request = requests.job(requests.room(144, 62.5), requests.board("12 ft"), method="as_you_go")
    answer = answered(request)
    assert [stick["length"] for stick in answer["sticks"]] == [144.0] * 12
    longer = answered(requests.changed(request, "/products/0/stock/0/length", "16 ft"))
    assert [stick["length"] for stick in longer["sticks"]] == [192.0] * 12
    assert answer["basis"][1]["key"] == "method"


def test_culls_and_spares_are_in_both_orders() -> None:
    """With 10 % culled and 2 spare, as many sticks are culled and spare when cut as you go."""
    rules = {"cull": 10, "spare": 2}
    room = requests.room(144, 62.5)
    (row,) = answered(requests.job(room, requests.board("12 ft"), rules=rules))["compared"]
    sticks = math.ceil(12 / 0.9) + 2
    assert row["bought"] == row["as_you_go"] == sticks * 144


def test_stock_that_runs_out_and_matched_ends_are_not_cut_as_you_go() -> None:
    few = requests.board({"length": "12 ft", "on_hand": 20})
    (row,) = answered(requests.job(requests.room(144, 62.5), few))["compared"]
    assert row["as_you_go"] is row["as_you_go_from"] is None
    assert "Cut as you go" not in row["in_words"]


WORDS = {
    "short": (
        ComparedRow(product="pine", flat_pct=10.0, would_order=700 * FOOT, bought=722 * FOOT),
        "700.0 ft, 22.0 ft short; this",
    ),
    "more": (
        ComparedRow(product="pine", flat_pct=10.0, would_order=829 * FOOT, bought=800 * FOOT),
        "29.0 ft more than is needed",
    ),
    "enough": (
        ComparedRow(product="wrap", flat_pct=10.0, would_order=1, bought=1, measured_in="rolls"),
        "order 1 roll, just enough; this order",
    ),
    "sheets": (
        ComparedRow(product="ply", flat_pct=7.5, would_order=10, bought=11, measured_in="sheets"),
        "A flat 7.5 % would order 10 sheets",
    ),
    "no price": (
        ComparedRow(
            product="pine",
            flat_pct=10.0,
            would_order=FOOT,
            bought=60 * FOOT,
            as_you_go=AsYouGo(sticks=6, stock=12 * FOOT, cost=None, joints=0, in_courses=True),
        ),
        "it would be 6 of 12' 0\", 12.0 ft more.",
    ),
    "less": (
        ComparedRow(
            product="pine",
            flat_pct=10.0,
            would_order=FOOT,
            bought=80 * FOOT,
            cost=99.5,
            as_you_go=AsYouGo(sticks=6, stock=12 * FOOT, cost=108, joints=0, in_courses=True),
        ),
        "8.0 ft less, for 108.00 in place of 99.50.",
    ),
    "as much": (
        ComparedRow(
            product="pine",
            flat_pct=10.0,
            would_order=FOOT,
            bought=72 * FOOT,
            as_you_go=AsYouGo(sticks=6, stock=12 * FOOT, cost=None, joints=0, in_courses=True),
        ),
        "6 of 12' 0\", as much.",
    ),
}


@pytest.mark.parametrize("name", WORDS)
def test_the_comparison_in_words(name: str) -> None:
    row, words = WORDS[name]
    assert words in compared_in_words(row, "ft")


def test_the_comparison_in_metres() -> None:
    row = ComparedRow(
        product="pine", flat_pct=10.0, would_order=1000 * 40_000, bought=2000 * 40_000
    )
    assert "order 1.0 m, 1.0 m short; this order buys 2.0 m." in compared_in_words(row, "mm")
