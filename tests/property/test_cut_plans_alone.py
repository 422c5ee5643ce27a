"""Cutting alone: the laws of a plan of lengths, ends and counts, without a surface (8)."""

from __future__ import annotations

import copy
import csv
import io
import json
import re
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.compute import CSV, TEXT, Picked, answer
from tests.independent import cut_alone
from tests.independent.cut_plans import Bar, Wanted, least_by_trying
from tests.independent.measure import FOOT, INCH
from tests.strategies import jobs
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW, LAW, examples

Request = dict[str, Any]

OPERATION = "cut-plans"
FEET = (6, 8, 10, 12, 16)
ENDS = (["square", "square"], ["covered", "square"], ["square", "covered"], ["covered", "covered"])


def cut(request: Request) -> Request:
    """The answer to a cut plan, after the verifier found nothing wrong with it."""
    told = answered(request, OPERATION)
    assert cut_alone.faults(request, told) == []
    (plan,) = told["cut_plans"]
    assert plan["bound"] <= plan["cost"] + 1e-6
    assert told["summary"]["optimal"] == plan["optimal"] == (plan["gap_pct"] == 0)
    return told


def cost(told: Request) -> float:
    (plan,) = told["cut_plans"]
    return float(plan["cost"])


@st.composite
def plans(draw: st.DrawFn, most: int = 12) -> Request:
    """A few lengths with ends and counts, two or three stock lengths, rules now and then."""
    sixteenths = st.integers(16 * 12, 16 * 71)
    lines = draw(st.lists(sixteenths, min_size=1, max_size=4, unique=True))
    feet = draw(st.lists(st.sampled_from(FEET), min_size=1, max_size=3, unique=True))
    rules = draw(st.sampled_from([{}, {}, {"end_trim": 0.5}, {"wall_trim": 0.5, "joint_trim": 0},
                                  {"kerf": 0.25}, {"cull": 10, "spare": 1}]))  # fmt: skip
    return {
        "unit": "in",
        "pieces": [
            {"length": length / 16, "count": draw(st.integers(1, most // len(lines))),
             "ends": draw(st.sampled_from(ENDS))}
            for length in lines
        ],
        "stock": [{"length": f"{one} ft"} for one in feet],
        "rules": rules,
        "profile": draw(st.sampled_from(["square_edge", "tongue_and_groove"])),
    }  # fmt: skip


@LAW
@given(request=plans())
def test_every_piece_is_cut_once_and_every_stick_adds_up(request: Request) -> None:
    summary = cut(request)["summary"]
    assert summary["pieces"] == sum(line["count"] for line in request["pieces"])
    assert summary["waste"] == pytest.approx(summary["taken"] - summary["wanted"])


@LAW
@given(request=plans(), data=st.data())
def test_order_of_lists_and_parted_lines_change_nothing(request: Request, data: Any) -> None:
    """A line of three is three lines of one."""
    other = copy.deepcopy(request)
    parted = [line | {"count": 1} for line in other["pieces"] for _ in range(line["count"])]
    other["pieces"] = data.draw(st.permutations(parted))
    other["stock"] = data.draw(st.permutations(other["stock"]))
    one, two = cut(request), cut(other)
    assert one["cut_plans"] == two["cut_plans"]
    assert one["order"] == two["order"]
    assert one["ledger"] == two["ledger"]


@LAW
@given(request=plans())
def test_twice_as_many_cost_no_more_than_twice(request: Request) -> None:
    """A plan cut twice is a plan for twice as many."""
    twice = copy.deepcopy(request)
    for line in twice["pieces"]:
        line["count"] *= 2
    assert cost(cut(twice)) <= 2 * cost(cut(request)) + 1e-6


@LAW
@given(request=plans())
def test_metric_is_imperial(request: Request) -> None:
    other = copy.deepcopy(request) | {"unit": "mm"}
    for line in other["pieces"]:
        line["length"] = float(Fraction(repr(line["length"])) * Fraction(127, 5))
    for key, value in other["rules"].items():
        if key not in ("cull", "spare"):
            other["rules"][key] = float(Fraction(repr(value)) * Fraction(127, 5))
    one, two = cut(request), cut(other)
    assert [row["ticks"] for row in one["sticks"]] == [row["ticks"] for row in two["sticks"]]


@LAW
@given(request=plans())
def test_a_longer_list_of_stock_costs_no_more(request: Request) -> None:
    more = copy.deepcopy(request)
    more["stock"] = [{"length": f"{feet} ft"} for feet in FEET]
    assert cost(cut(more)) <= cost(cut(request)) + 1e-6


@FEW
@given(request=plans(most=5), supply=st.sampled_from([None, 1, 2]))
def test_bounds_hold_against_trying_everything(request: Request, supply: int | None) -> None:
    """Bound <= the least of all plans <= cost, and equal where it says optimal; square ends."""
    small = copy.deepcopy(request)
    for line in small["pieces"]:
        line["ends"] = ["square", "square"]
    small["rules"] = {"end_trim": 0.25}
    if supply is not None:
        small["stock"][0]["on_hand"] = supply
        small["stock"] += [{"length": "20 ft"}]
    told = cut(small)
    bars = [
        Bar(int(row["length"].split()[0]) * FOOT - INCH // 2, int(row["length"].split()[0]),
            row.get("on_hand"))
        for row in small["stock"]
    ]  # fmt: skip
    wanted = [Wanted(length) for length, _ in cut_alone.named(small).values()]
    least = least_by_trying(bars, INCH // 8, wanted)
    assert least is not None
    (plan,) = told["cut_plans"]
    assert plan["bound"] - 1e-6 <= 12 * least <= plan["cost"] + 1e-6
    if plan["optimal"]:
        assert plan["cost"] == pytest.approx(12 * least)


@FEW
@given(request=jobs.rectangular())
def test_the_pieces_of_a_job_cost_no_more_cut_alone(request: Request) -> None:
    """What a job's sticks hold can be cut as the job cuts it, so no plan for it is dearer."""
    job = copy.deepcopy(request) | {"objective": "least_length", "rules": {"end_trim": 0.5}}
    for layer in job["surfaces"][0]["layers"]:
        layer.setdefault("rules", {}).pop("end_trim", None)
    took = answered(job)
    alone = {
        "unit": job["unit"],
        "objective": "least_length",
        "rules": {"end_trim": 0.5},
        "pieces": [{"length": length} for row in took["sticks"] for length in row["cuts"]],
        "stock": [{"length": row["length"]} for row in job["products"][0]["stock"]],
    }
    assert cut_alone.bought_length(cut(alone)) <= sum(
        row["ticks"]["length"] for row in took["sticks"]
    )


@LAW
@given(request=plans(), count=st.integers(0, 6))
def test_what_is_owned_is_used_first_and_never_ordered(request: Request, count: int) -> None:
    other = request | {"owned": [{"length": "6 ft", "count": count, "ends": ["cut", "raw"]}]}
    one, two = cut(request), cut(other)
    (plan,) = two["cut_plans"]
    assert plan["cost"] <= cost(one) + 1e-6
    (row,) = two["owned"] or [{"used": 0}]
    assert row["used"] <= count


@examples(4)
@given(request=plans())
def test_what_cannot_be_is_refused_by_name(request: Request) -> None:
    long = copy.deepcopy(request)
    long["pieces"][0]["length"] = "40 ft"
    kind, (fault,) = refused(long, OPERATION)
    assert (kind, fault["code"], fault["pointer"]) == ("TradeRefused", "piece-too-long", "/stock")
    short = copy.deepcopy(request)
    short["stock"] = [{"length": "16 ft", "on_hand": 0}]
    kind, (fault,) = refused(short, OPERATION)
    assert (kind, fault["code"], fault["pointer"]) == (
        "TradeRefused", "stock-short", "/stock/0/on_hand",
    )  # fmt: skip
    short["stock"][0]["on_hand"] = fault["cure"][0]["value"]
    cut(short)
    twice = copy.deepcopy(request)
    twice["pieces"] += [{"id": "p1", "length": 12}]
    kind, (fault,) = refused(twice, OPERATION)
    assert (kind, fault["code"], fault["pointer"]) == (
        "ShapeRefused", "id-twice", f"/pieces/{len(request['pieces'])}/id",
    )  # fmt: skip
    many = request | {"pieces": [{"length": 12, "count": 9_999}, {"length": 13, "count": 2}]}
    kind, (fault,) = refused(many, OPERATION)
    assert (kind, fault["pointer"]) == ("LimitExceeded", "/pieces")


def test_two_of_half_a_stick_do_not_come_from_one() -> None:
    """8.2: two 72 in pieces never come from a 144 in stick with kerf 1/8."""
    request = {
        "unit": "in",
        "pieces": [{"length": 72, "count": 2, "ends": ["covered", "covered"]}],
        "stock": [{"length": 144}],
    }
    assert cut(request)["summary"]["sticks"] == 2
    request["rules"] = {"kerf": 0}
    assert cut(request)["summary"]["sticks"] == 1


def test_a_covered_end_keeps_the_end_of_the_mill() -> None:
    """8.1: 144 in between two covered gaps comes from a 12 ft stick; with a square end it needs
    a longer one."""
    request: Request = {
        "unit": "in",
        "pieces": [{"length": 144, "ends": ["covered", "covered"]}],
        "stock": [{"length": "12 ft"}, {"length": "14 ft"}],
    }
    assert cut(request)["summary"]["bought"] == 144
    request["pieces"][0]["ends"] = ["covered", "square"]
    assert cut(request)["summary"]["bought"] == 168


@examples(4)
@given(request=plans(), columns=st.sampled_from([60, 80, 100]))
def test_table_and_paper_say_what_the_answer_says(request: Request, columns: int) -> None:
    """A row for each stick, every piece named on paper, and no line too wide."""
    told, body = cut(request), json.dumps(request).encode()
    table = answer(body, Picked(media=CSV, operation=OPERATION)).body.decode()
    rows = list(csv.DictReader(io.StringIO(table, newline="")))
    assert [row["stick"] for row in rows] == [row["stick"] for row in told["sticks"]]
    assert [json.loads(row["cuts_in"]) for row in rows] == [row["cuts"] for row in told["sticks"]]
    paper = answer(body, Picked(media=TEXT, columns=columns, operation=OPERATION)).body.decode()
    words = set(re.split(r"[\s\[\];+]+", paper))
    assert {name for row in told["sticks"] for name in row["pieces"]} <= words
    assert max(map(len, paper.splitlines())) <= columns
