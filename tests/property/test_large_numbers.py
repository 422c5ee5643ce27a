"""The largest numbers that the document lets through: no product overflows what carries it.

Prices, lengths, counts and shares are read from the published schema, so that a bound that is
raised there is tried here.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from math import inf
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stock
from service.cutting.sticks.bench import MOST_WORTH, bench_for
from service.cutting.sticks.bounds import MOST_COST, grain_of
from service.cutting.sticks.master import PRICE_OF_MISSING, SCALE, Master
from service.cutting.sticks.pricing import price
from service.cutting.sticks.solve import solve
from service.request.limits import PIECES
from service.units.ticks import LONGEST
from tests.strategies import requests
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

DOCUMENT = json.loads((Path(__file__).parents[2] / "openapi/openapi.json").read_bytes())
SCHEMAS: dict[str, Any] = DOCUMENT["components"]["schemas"]
LARGEST = 2**63 - 1


def _numbers(schema: Any) -> Iterator[dict[str, Any]]:
    """Every schema of a number, wherever it stands or is referred to."""
    if isinstance(schema, dict):
        if "$ref" in schema:
            yield from _numbers(SCHEMAS[schema["$ref"].rpartition("/")[2]])
        if schema.get("type") in ("number", "integer"):
            yield schema
        for part in schema.values():
            yield from _numbers(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from _numbers(part)


def _most(name: str, member: str) -> float:
    """The published maximum of a member of a schema."""
    return max(one["maximum"] for one in _numbers(SCHEMAS[name]["properties"][member]))


PRICE = int(_most("StockLength", "price"))
COUNT = int(_most("StockLength", "on_hand"))
MULTIPLE = int(_most("StockLength", "multiple"))
CULL = Fraction(int(_most("Rules", "cull")), 100)
DECIMALS = 10_000
RESTS = 100
"""Costs are a hundred times finer where rests count for something."""

DEAREST = PRICE * DECIMALS * RESTS


def test_every_number_of_a_request_has_both_bounds() -> None:
    """What is not bounded cannot be tried at its bound."""
    asked = {name: SCHEMAS[name] for name in _asked("Job")}
    free = [
        (name, one) for name, schema in asked.items() for one in _numbers(schema)
        if not {"minimum", "exclusiveMinimum"} & set(one) or "maximum" not in one
    ]  # fmt: skip
    assert free == []


def _asked(name: str) -> set[str]:
    """The schemas that a request refers to."""
    found, left = set[str](), [name]
    while left:
        one = left.pop()
        if one not in found:
            found.add(one)
            left += [ref.rpartition("/")[2] for ref in _refs(SCHEMAS[one])]
    return found


def _refs(schema: Any) -> Iterator[str]:
    if isinstance(schema, dict):
        if "$ref" in schema:
            yield schema["$ref"]
        for part in schema.values():
            yield from _refs(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from _refs(part)


def test_the_largest_amounts_fit_the_integers_that_carry_them() -> None:
    """What is bought at most, its price in ten-thousandths and its length in ticks."""
    bought = PIECES / (1 - CULL) + COUNT + MULTIPLE
    assert bought * LONGEST < LARGEST
    assert bought * PRICE < 2**53  # a whole number of money in a JSON number
    assert COUNT < 2**31
    stocks = (Stock("0", LONGEST, LONGEST, DEAREST), Stock("1", 1, 1, DEAREST - 1))
    grain = grain_of(stocks, DEAREST)
    assert DEAREST // grain <= MOST_COST
    assert PRICE_OF_MISSING**2 * (2 * MOST_COST + 1) < 1e20  # the solver's infinity
    assert PIECES * MOST_COST < 2**53  # whole costs in its floating point


LENGTHS = st.one_of(st.integers(1, 400), st.integers(1, LONGEST))
DEAR = (PRICE_OF_MISSING * MOST_COST + 1) * SCALE
WORTHS = st.one_of(st.integers(0, 10**6), st.integers(0, DEAR))


@LAW
@given(
    usable=st.lists(LENGTHS, min_size=1, max_size=4),
    needs=st.dictionaries(LENGTHS, st.tuples(WORTHS, st.integers(1, PIECES)), min_size=1,
                          max_size=6),
    kerf=st.integers(0, LONGEST),
)  # fmt: skip
def test_no_stick_is_worth_more_than_its_integers_hold(
    usable: list[int], needs: dict[int, tuple[int, int]], kerf: int
) -> None:
    """With prices cut by their excess bits, patterns are worth what their pieces are, exactly."""
    stocks = [Stock(str(k), room, room, 1) for k, room in enumerate(usable)]
    wanted = [Need(min(length, max(usable))) for length in sorted(needs)]
    wanted = sorted(set(wanted))
    own = [list(needs.values())[k] for k in range(len(wanted))]
    bench = bench_for(stocks, wanted, kerf, [most for _, most in own])
    bits = bench.excess([worth for worth, _ in own])
    values = [worth >> bits for worth, _ in own]
    priced = price(bench, values, [0] * len(stocks))
    worth_of = dict(zip(wanted, values, strict=True))
    for pattern in priced.patterns:
        worth = sum(worth_of[need] * count for need, count in pattern.pieces)
        assert 0 < worth <= priced.most[pattern.stock] <= MOST_WORTH
        taken = sum((need.length + kerf) * count for need, count in pattern.pieces)
        assert taken <= usable[pattern.stock] + kerf


@FEW
@given(
    dear=st.integers(1, DEAREST),
    second=st.integers(0, DEAREST),
    needs=st.dictionaries(st.integers(10, 96), st.integers(1, 5), min_size=1, max_size=4),
    times=st.sampled_from([1, LONGEST // 96]),
)
def test_plans_of_any_cost_have_sure_bounds(
    dear: int, second: int, needs: dict[int, int], times: int
) -> None:
    """Up to the dearest: cost is that of the sticks, and the bound what no plan goes under.

    A plan from one stock alone is a plan, so no bound lies over its cost.
    """
    stocks = (Stock("0", 96 * times, 96 * times, dear), Stock("1", 50 * times, 50 * times, second))
    wanted = Counter({Need(length * times): count for length, count in needs.items()})
    plan = solve(stocks, wanted, 1, EFFORTS["standard"])
    assert plan is not None
    assert plan.cost == sum(stocks[stick.stock].cost for stick in plan.sticks)
    assert 0 <= plan.bound <= plan.cost
    assert plan.bound <= dear * sum(needs.values())
    cut = Counter(need for stick in plan.sticks for need in stick.pieces)
    assert cut == wanted


def test_costs_that_the_programmes_hold_are_not_rounded() -> None:
    """Prices of every day keep their last decimal: the plan is shown to be the best."""
    stocks = (Stock("0", 96, 96, 312_000_001), Stock("1", 120, 120, 410_000_003))
    assert grain_of(stocks) == 1
    plan = solve(stocks, Counter({Need(96): 3}), 1, EFFORTS["standard"])
    assert plan is not None
    assert plan.optimal
    assert grain_of((Stock("0", 96, 96, 30), Stock("1", 96, 96, 42)), 12) == 6


def test_prices_that_stand_for_missing_pieces_do_not_overflow() -> None:
    """The first round prices each piece a thousand sticks: many light ones in a long stick."""
    stocks = (Stock("0", LONGEST, LONGEST, MOST_COST),)
    needs = {Need(length): PIECES for length in range(1, 40)}
    master = Master(stocks, tuple(sorted(needs)), 0, needs)
    master.demand(needs)
    solved = master.programme.solve()
    assert solved is not None
    duals = [PRICE_OF_MISSING * MOST_COST * 1.0] * len(solved.duals)
    _, sure = master.generate(type(solved)(solved.objective, solved.values, tuple(duals)))
    assert max(sure.values) > 0
    assert sure.shrink < inf


@pytest.mark.parametrize("percent", [0, 90])
@pytest.mark.parametrize("objective", ["least_cost", "fewest_joints", "least_length"])
def test_the_dearest_boards_are_answered(percent: int, objective: str) -> None:
    """The largest price beside the smallest, and beside lengths with no common part."""
    room = requests.room(240, 60)
    stock = [{"length": "16 ft", "price": PRICE}, {"length": "12.000001 ft", "price": "0.0001"},
             {"length": "9.999997 ft", "price": "999999999.9999"}]  # fmt: skip
    rules = {"rules": {"offcut_value": percent}} if objective == "least_cost" else {}
    request = requests.job(room, requests.board(*stock), objective=objective, **rules)
    (plan,) = answered(request)["cut_plans"]
    assert plan["bound"] <= plan["cost"]
