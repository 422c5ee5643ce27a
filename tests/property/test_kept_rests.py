"""Rests that count for something: against trying every way of cutting and keeping."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stock
from service.cutting.sticks.offcuts import RestValue, with_rests
from service.cutting.sticks.solve import solve
from tests.independent import verifier
from tests.independent.json_patch import patched
from tests.property.test_ledger import check_ledger
from tests.strategies import jobs, requests
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW, LAW

KERF, STEP, KEEP = 1, 12, 24

Request = dict[str, Any]


def least_cost(pieces: tuple[int, ...], stocks: tuple[Stock, ...], percent: int) -> int:
    """Least cost less the value of kept rests: the first piece goes with every subset that fits."""

    def of_stick(taken: int) -> list[int]:
        costs = []
        for stock in stocks:
            rest = stock.usable - taken - min(KERF, stock.usable - taken)
            if stock.usable >= taken:
                whole = rest // STEP * STEP if rest >= KEEP else 0
                costs.append(stock.cost - stock.cost * whole * percent // (stock.length * 100))
        return costs

    @cache
    def least(left: tuple[int, ...]) -> int:
        if not left:
            return 0
        best = 10**18
        for count in range(len(left)):
            for others in set(combinations(range(1, len(left)), count)):
                costs = of_stick(left[0] + sum(left[k] + KERF for k in others))
                if costs:
                    rest = tuple(left[k] for k in range(1, len(left)) if k not in others)
                    best = min(best, min(costs) + least(rest))
        return best

    return least(tuple(sorted(pieces, reverse=True)))


@LAW
@given(
    pieces=st.lists(st.integers(10, 90), min_size=1, max_size=6),
    lengths=st.sets(st.sampled_from([96, 120, 144]), min_size=1, max_size=2),
    percent=st.sampled_from([0, 10, 50, 90]),
)
def test_bound_and_cost_lie_round_the_least_net_cost(
    pieces: list[int], lengths: set[int], percent: int
) -> None:
    """Bound <= least cost less rests <= cost, and the two meet where the plan says it is best."""
    stocks = tuple(Stock(str(n), n, n, 100 * n + 7 * k) for k, n in enumerate(sorted(lengths)))
    valued, number = with_rests(stocks, KERF, RestValue(Fraction(percent), STEP, KEEP))
    needs = {Need(length): pieces.count(length) for length in pieces}
    plan = solve(valued, needs, KERF, EFFORTS["standard"])
    assert plan is not None
    assert plan.bound <= least_cost(tuple(pieces), stocks, percent) <= plan.cost
    for stick in plan.sticks:
        stock, own = valued[stick.stock], [need.length for need in stick.pieces]
        taken = sum(own) + KERF * len(own) + stock.kept
        assert taken - (0 if stock.kept else KERF) <= stocks[number[stick.stock]].usable


def test_stock_with_a_limit_has_no_rests_of_value() -> None:
    stocks = (Stock("0", 96, 96, 100, supply=3), Stock("1", 96, 95, 100))
    valued, number = with_rests(stocks, KERF, RestValue(Fraction(50), STEP, KEEP))
    assert number == (0, 1, 1, 1, 1, 1, 1, 1)
    assert [stock.kept for stock in valued] == [0, 0, 24, 36, 48, 60, 72, 84]
    assert [stock.usable for stock in valued[2:]] == [70, 58, 46, 34, 22, 10]
    assert [stock.cost for stock in valued[2:]] == [88, 82, 75, 69, 63, 57]


def test_long_stock_has_no_more_rests_than_are_weighed() -> None:
    stocks = (Stock("0", 12_000, 12_000, 100_000),)
    valued, _ = with_rests(stocks, KERF, RestValue(Fraction(50), STEP, KEEP))
    assert [stock.kept for stock in valued[1:]] == list(range(600, 12_000 - KERF, 600))


def priced(request: Request) -> Request:
    """The request with a price of 1.20 a foot on every stock."""
    for item in request["products"][0]["stock"]:
        item["price"] = f"{1.2 * int(item['length'].split()[0]):.2f}"
    return request


@FEW
@given(request=jobs.rectangular(), percent=st.sampled_from([20, 60]))
def test_what_rests_count_for_is_off_the_cost(request: Request, percent: int) -> None:
    """Sound plans; the cost is the price of the sticks less whole kept feet at their share."""
    request = priced(request)
    plain = answered(request)["cut_plans"][0]
    answer = answered(request | {"rules": {"offcut_value": percent}})
    assert verifier.faults(request, answer) == []
    check_ledger(request, answer)
    (plan,) = answer["cut_plans"]
    paid = sum(stick["length"] / 12 * 1.2 for stick in answer["sticks"])
    paid += plan["joints"] * plan["joint_cost"]
    feet = sum(stick["offcut"] // 12 for stick in answer["sticks"] if stick["kept"])
    assert plan["cost"] + plan["offcuts"] == pytest.approx(paid)
    assert plan["offcuts"] <= feet * 1.2 * percent / 100 + 1e-6
    assert plan["bound"] <= plan["cost"] + 1e-6
    assert plain["offcuts"] == 0
    if plan["optimal"]:
        assert plan["cost"] <= plain["cost"] + 1e-6


def test_a_rest_of_value_is_chosen() -> None:
    """Ten pieces of 119 in, from 10 ft at 12.00 (nothing left) or 16 ft at 19.20 (rest 71-7/8).

    A rest of five feet at 90 % is 5.40: 16 ft comes to 13.80, still more than 12.00. At 10 ft
    for 15.00 it is less: then every course is cut from 16 ft and five feet of each are kept.
    """
    room = requests.room(120, 50.5, rules={"end_trim": 0.5})
    for price, length, rests in (("12.00", 120, 0.0), ("15.00", 192, 54.0)):
        stock = ({"length": "10 ft", "price": price}, {"length": "16 ft", "price": "19.20"})
        board = requests.board(*stock)
        request = requests.job(room, board, rules={"offcut_value": 90})
        answer = answered(request)
        assert {stick["length"] for stick in answer["sticks"]} == {length}
        (plan,) = answer["cut_plans"]
        assert plan["offcuts"] == pytest.approx(rests)
        assert plan["optimal"]
        assert ("Offcuts that are kept count for 54.00" in plan["in_words"]) == bool(rests)


def test_rests_have_no_value_without_prices() -> None:
    request = requests.job(requests.room(120, 50), rules={"offcut_value": 50})
    _, (fault,) = refused(request)
    assert fault["code"] == "rests-need-prices"
    assert answered(patched(request, fault["cure"]))["order"]
