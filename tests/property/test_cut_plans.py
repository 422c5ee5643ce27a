"""Cut plans by an independent verifier in whole ticks, and their bounds by trying everything."""

from __future__ import annotations

import json
import math
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.independent import raw_ends, verifier
from tests.independent.asked import layers, rows
from tests.independent.brute import Limits, Run
from tests.independent.measure import FOOT, INCH, TICKS, slack, ticks
from tests.independent.raw_ends import Sawing
from tests.strategies import jobs, requests
from tests.strategies.asking import answered, asked
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
    """Least length: the cost is the length of all sticks and the price of all joints.

    A joint counts for 36 in of board (6.7); the cost is never under what is placed.
    """
    answer = answered(request)
    (plan,) = answer["cut_plans"]
    assert plan["objective"] == "least_length"
    cut = sum(row["length"] for row in answer["sticks"])
    joints = len(answer["pieces"]) - len(answer["runs"])
    assert plan["joints"] == joints
    per_joint = float(Fraction(36 * INCH, TICKS[request["unit"]]))
    assert abs(plan["joint_cost"] - per_joint) <= 1e-5
    assert abs(plan["cost"] - cut - joints * per_joint) <= 1e-5 * (joints + len(answer["sticks"]))
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


@dataclass(frozen=True)
class Tiny:
    """A small job, the same in ticks, and whether it can be laid at all."""

    request: Request
    runs: list[Run]
    limits: Limits
    sawing: Sawing


TRIMS: tuple[tuple[dict[str, float], int, int], ...] = (
    ({}, INCH // 4, 0),
    ({"end_trim": 0.5}, INCH // 2, INCH // 2),
    ({"joint_trim": 0.5, "wall_trim": 0.25}, INCH // 2, INCH // 4),
    ({"wall_trim": 1}, INCH // 4, INCH),
    ({"joint_trim": 0}, 0, 0),
)
"""Rules as they are sent, and what they trim at a joint and at a wall; 1/4 in and 0 by default."""


@st.composite
def tiny(draw: st.DrawFn) -> Tiny:
    """One to three courses of one room, two stock lengths, joints on members 24 and 6 in apart.

    Runs often end where a stick reaches to the quarter inch.
    """
    courses = draw(st.integers(1, 3))
    feet = sorted(draw(st.sets(st.sampled_from([6, 8, 10, 12, 14]), min_size=1, max_size=2)))
    exact = st.sampled_from([12 * size + inch for size in feet for inch in (0, 1, 24)])
    length = draw(st.integers(60, 220) | exact)
    spacing = draw(st.sampled_from([12, 16, 24]))
    rules, joint, wall = draw(st.sampled_from(TRIMS))
    price = draw(st.sampled_from([0, 36, 7, 120]))
    sent = rules if price == 36 else rules | {"joint_cost": price}
    area = requests.room(length, courses * 5.125 + 1, behind=requests.supports(spacing), rules=sent)
    members = [at * INCH for at in range(spacing, length + 1, spacing)]
    edges = tuple((at - 3 * INCH // 4, at + 3 * INCH // 4) for at in members)
    run = Run(INCH // 2, length * INCH - INCH // 2, tuple(members))
    return Tiny(
        request=requests.job(area, requests.board(*(f"{size} ft" for size in feet))),
        runs=[run] * courses,
        limits=Limits(0, 24 * INCH, 3, 24 * INCH, 6 * INCH, edges, INCH // 2),
        sawing=Sawing(
            tuple((size * FOOT, size * FOOT) for size in feet), INCH // 8, joint, wall,
            price * INCH,
        ),
    )  # fmt: skip


@FEW
@given(case=tiny())
def test_bounds_hold_and_optimal_is_optimal(case: Tiny) -> None:
    """Bound <= true least sum of sticks and joints <= cost; and equal where it says optimal."""
    outcome = asked(case.request)
    if outcome.kind != "answer":
        return
    answer = json.loads(outcome.body)
    (plan,) = answer["cut_plans"]
    assert verifier.faults(case.request, answer) == []
    if len(answer["pieces"]) > 6:
        return
    best = raw_ends.least_sum(case.runs, case.limits, case.sawing)
    assert best is not None
    assert plan["bound"] * INCH <= best + 1
    assert plan["cost"] * INCH >= best - 1
    assert not plan["optimal"] or math.isclose(plan["cost"] * INCH, best)


def test_two_of_72_never_come_from_144_with_a_saw() -> None:
    """Two pieces of 72 in need two sticks of 144 in with a kerf of 1/8 in, one without."""
    area = requests.room(72, 10.25, rules={"gap": 0, "end_trim": 0, "kerf": 0})
    request = requests.job(area, requests.board("12 ft"))
    assert len(answered(request)["sticks"]) == 1
    sawn = requests.changed(request, "/surfaces/0/rules/kerf", 0.125)
    assert len(answered(sawn)["sticks"]) == 2


@LAW
@given(request=jobs.rectangular())
def test_pieces_that_need_sound_ends_are_counted(request: Request) -> None:
    """Those at the end of a run that lie at an end of their stick, with under an inch to spare."""
    answer = answered(request)
    (layer,) = layers(request)
    if layer.layer.get("edges") == "bare" or layer.surface.get("openings"):
        return
    turns = layer.product["profile"] == "square_edge"
    starts_low = {row["course"]: row["near"] < row["far"] for row in answer["courses"]}
    runs = {row["id"]: row for row in answer["runs"]}
    pieces = {row["id"]: row for row in answer["pieces"]}

    def at_wall(name: str, end: int) -> bool:
        piece = pieces[name]
        run, low = runs[piece["run"]], starts_low[piece["course"]]
        walls = (piece["from"] == run["from"], piece["to"] == run["to"])
        return any(walls) if turns else walls[end if low else 1 - end]

    trims = {"joint": layer.rule("joint_trim"), "wall": layer.rule("wall_trim")}
    if "end_trim" in layer.own or layer.product.get("ends") == "end_matched":
        trims["wall"] = trims["joint"]
    count = 0
    for stick in answer["sticks"]:
        exact = stick["ticks"]
        cut = exact["kerf"] - layer.rule("kerf") * (len(stick["pieces"]) - 1)
        if exact["offcut"] + cut + trims["wall"] < INCH:
            ends = {(stick["pieces"][0], 0), (stick["pieces"][-1], 1)}
            count += len({name for name, end in ends if at_wall(name, end)})
    told = [row for row in answer["findings"] if row["code"] == "raw-ends-tight"]
    expected = count if trims["wall"] < trims["joint"] else 0
    assert [row["text"].split(" ")[0] for row in told] == ([str(expected)] if expected else [])
