"""Cut plans by an independent verifier in whole ticks, and their bounds by trying everything."""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.independent import brute, verifier
from tests.independent.asked import layers, rows
from tests.independent.brute import Limits, Run, Stick
from tests.independent.measure import FOOT, INCH, slack, ticks
from tests.strategies import jobs, requests
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

OBJECTIVES = ("least_length", "fewest_sticks", "fewest_joints", "fewest_lengths")


@LAW
@given(request=jobs.jobs())
def test_every_stick_adds_up_and_every_piece_is_in_one(request: Request) -> None:
    """Pieces + kerfs + trims + rest = the stick, as integers; no piece missing or invented."""
    answer = answered(request)
    assert verifier.sticks(request, answer) == []
    assert verifier.placement(answer) == []


@LAW
@given(request=jobs.rectangular(), objective=st.sampled_from(OBJECTIVES))
def test_every_objective_gives_a_sound_plan(request: Request, objective: str) -> None:
    """The plan is sound, names its objective, and its bound is not over its cost."""
    answer = answered(request | {"objective": objective})
    assert verifier.sticks(request, answer) == []
    assert verifier.placement(answer) == []
    for plan in answer["cut_plans"]:
        assert plan["objective"] == objective
        assert plan["bound"] <= plan["cost"] + 1e-6
        assert plan["optimal"] == (plan["gap_pct"] == 0)


@LAW
@given(request=jobs.rectangular())
def test_cost_bound_and_gap_agree_with_the_sticks(request: Request) -> None:
    """Least length: the cost is the length of all sticks, and never under what is placed."""
    answer = answered(request)
    (plan,) = answer["cut_plans"]
    assert plan["objective"] == "least_length"
    cut = sum(row["length"] for row in answer["sticks"])
    assert abs(plan["cost"] - cut) <= 1e-5 * len(answer["sticks"])
    placed = sum(piece["length"] for piece in answer["pieces"])
    assert plan["cost"] >= placed - 1e-5 * len(answer["pieces"])
    over = 100 * (plan["cost"] - plan["bound"]) / plan["bound"]
    assert (
        abs(plan["gap_pct"] - over) <= 0.01
        or abs(plan["gap_pct"] - over / (1 + over / 100)) <= 0.01
    )


@LAW
@given(request=jobs.rectangular())
def test_cut_lengths_are_rounded_as_the_ends_say(request: Request) -> None:
    """Between covered ends a whole run is cut up to the next 1/16 in, never under its extent."""
    answer = answered(request)
    (layer,) = layers(request)
    counts = Counter(piece["run"] for piece in rows(answer, "pieces", layer))
    step, give = layer.rule("cut_to"), 2 * slack(layer.unit)
    for piece in rows(answer, "pieces", layer):
        assert piece["ticks"] % step == 0 or counts[piece["run"]] > 1
        if counts[piece["run"]] == 1:
            over = piece["ticks"] - (ticks(piece["to"], "in") - ticks(piece["from"], "in"))
            assert -give <= over < step + give


def test_bare_ends_are_cut_down() -> None:
    """No moulding: 190-1/32 in between gaps of 1/8 in is cut 190 in, not 190-1/16."""
    area = requests.room(190.28125, 41, layer={"edges": "bare"})
    for piece in answered(requests.job(area))["pieces"]:
        assert piece["length"] == 190


@st.composite
def tiny(draw: st.DrawFn) -> tuple[Request, int, list[int], list[int], int]:
    """One to three courses of one room, two stock lengths, joints on members."""
    courses = draw(st.integers(1, 3))
    feet = sorted(draw(st.sets(st.sampled_from([6, 8, 10, 12, 14]), min_size=1, max_size=2)))
    length = draw(st.integers(60, 220))
    spacing = draw(st.sampled_from([12, 16, 24]))
    area = requests.room(length, courses * 5.125 + 1, behind=requests.supports(spacing))
    request = requests.job(area, requests.board(*(f"{size} ft" for size in feet)))
    return request, courses, feet, list(range(spacing, length + 1, spacing)), length


def brute_limits(feet: list[int], members: list[int]) -> Limits:
    """The rules of a tiny job: 1/2 in trims, pieces of 24 in on 3 members, 24 and 6 in apart."""
    edges = tuple((at * INCH - 3 * INCH // 4, at * INCH + 3 * INCH // 4) for at in members)
    return Limits(max(feet) * FOOT - INCH, 24 * INCH, 3, 24 * INCH, 6 * INCH, edges, INCH // 2)


def brute_runs(courses: int, members: list[int], length: int) -> list[Run]:
    """Equal runs between gaps of 1/2 in."""
    places = tuple(at * INCH for at in members)
    return [Run(INCH // 2, length * INCH - INCH // 2, places)] * courses


@FEW
@given(case=tiny())
def test_bounds_hold_and_optimal_is_optimal(
    case: tuple[Request, int, list[int], list[int], int],
) -> None:
    """Bound <= true least cost <= cost; and equal where the plan says optimal."""
    request, courses, feet, members, length = case
    limits, runs = brute_limits(feet, members), brute_runs(courses, members, length)
    if not brute.any_layout(runs, limits):
        return
    answer = answered(request)
    (plan,) = answer["cut_plans"]
    assert verifier.faults(request, answer) == []
    if len(answer["pieces"]) > 6:
        return
    stock = tuple(Stick(size * FOOT - INCH, size) for size in feet)
    best = brute.least_cost(runs, limits, stock, INCH // 8)
    assert best is not None
    assert plan["bound"] / 12 <= best + 1e-6
    assert plan["cost"] / 12 >= best - 1e-6
    assert not plan["optimal"] or math.isclose(plan["cost"] / 12, best)


def test_two_of_72_never_come_from_144_with_a_saw() -> None:
    """Two pieces of 72 in need two sticks of 144 in with a kerf of 1/8 in, one without."""
    area = requests.room(72, 10.25, rules={"gap": 0, "end_trim": 0, "kerf": 0})
    request = requests.job(area, requests.board("12 ft"))
    assert len(answered(request)["sticks"]) == 1
    sawn = requests.changed(request, "/surfaces/0/rules/kerf", 0.125)
    assert len(answered(sawn)["sticks"]) == 2
