"""Joints lie on bearings, pieces are long enough, neighbours keep apart, holes are kept clear."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import bans, verifier
from tests.independent.asked import laid, layers, rows
from tests.independent.measure import TICKS, slack, ticks
from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered, asked
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]


def check_joints(request: Request, answer: Request) -> None:
    """All laws of joints, layer by layer."""
    for layer in laid(request, answer):
        assert verifier.runs(layer, answer) == []
        assert verifier.joints(layer, answer) == []
        assert verifier.stagger(layer, answer) == []
        assert bans.faults(layer, answer) == []


@LAW
@given(request=jobs.jobs())
def test_every_joint_keeps_the_rules(request: Request) -> None:
    """Bearings, least pieces, stagger, repeats and bans; a rule given up is listed."""
    check_joints(request, answered(request))


@LAW
@given(length=shapes.inches(200, 420), spacing=st.sampled_from([12, 16, 24]))
def test_nothing_is_relaxed_unless_asked(length: float, spacing: int) -> None:
    """Long rooms with plenty of stock: every rule kept, nothing listed as given up."""
    area = requests.room(length, 60, behind=requests.supports(spacing))
    request = requests.job(area, requests.board("8 ft", "10 ft", "12 ft", "16 ft"))
    answer = answered(request)
    assert answer["relaxed"] == []
    check_joints(request, answer)
    assert answer["joints"]


@pytest.mark.parametrize("place", ["framing", "anywhere"])
@pytest.mark.parametrize("stagger", [24, 32, 48])
def test_a_stagger_that_is_asked_is_kept(place: str, stagger: int) -> None:
    """The nearest rule wins: the layer's own stagger."""
    area = requests.room(300, 60, layer={"joints": place, "rules": {"stagger": stagger}})
    request = requests.job(area, requests.board("10 ft", "16 ft"), rules={"stagger": 6})
    check_joints(request, answered(request))


@LAW
@given(length=shapes.inches(200, 400), x=shapes.inches(60, 120), wide=shapes.inches(8, 40))
def test_offsets_are_those_of_the_joints_themselves(length: float, x: float, wide: float) -> None:
    """The offset to the course before, after and two before is the least distance in it."""
    hole = {"id": "hatch", "rectangle": [x, 24, wide, 14]}
    area = requests.room(length, 60, openings=[hole], layer={"joints": "anywhere"})
    board = requests.board("8 ft", "12 ft")
    answer = answered(request := requests.job(area, board, when_blocked="relax", effort="quick"))
    (layer,) = layers(request)
    stations: dict[int, list[float]] = {}
    for row in rows(answer, "joints", layer):
        stations.setdefault(row["course"], []).append(row["at"])
    for row in rows(answer, "joints", layer):
        for name, step in (("offset_before", -1), ("offset_after", 1), ("offset_repeat", -2)):
            beside = stations.get(row["course"] + step)
            nearest = min((abs(row["at"] - at) for at in beside), default=None) if beside else None
            assert row[name] == pytest.approx(nearest, abs=3e-6), (row, name, beside)


@FEW
@given(request=jobs.rectangular(), most=st.none() | st.integers(0, 3))
def test_runs_have_few_joints_or_it_is_told(request: Request, most: int | None) -> None:
    """At most one joint for each 96 in, at least one (6.3), or as sent; more are told."""
    sent = request if most is None else requests.changed(request, "/rules", {"most_joints": most})
    found = asked(sent)
    if found.kind != "answer":
        return
    answer = json.loads(found.body)
    per = 96 * TICKS["in"]
    beyond = 0
    for run in answer["runs"]:
        length = ticks(run["to"], request["unit"]) - ticks(run["from"], request["unit"])
        usual = max(1, (length + slack(request["unit"])) // per)
        beyond += max(0, run["pieces"] - 1 - (usual if most is None else most))
    told = [row["text"] for row in answer["findings"] if row["code"] == "many-joints"]
    assert bool(told) == bool(beyond)
    assert all(text.startswith(f"{beyond} joint") for text in told)


def test_the_bare_cost_makes_more_joints() -> None:
    """Courses of 379 in have 3 joints at most, and more where the cost of boards alone decides."""
    area = requests.room(380, 60, rules={"joint_cost": 0, "most_joints": None})
    free = answered(requests.job(area, requests.board("8 ft", "10 ft", "12 ft")))
    held = answered(requests.job(requests.room(380, 60), requests.board("8 ft", "10 ft", "12 ft")))
    assert len(held["joints"]) < len(free["joints"])
    assert all(run["pieces"] <= 4 for run in held["runs"])
    assert not [row for row in held["findings"] if row["code"] == "many-joints"]
