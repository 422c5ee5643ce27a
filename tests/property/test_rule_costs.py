"""What a rule costs is what the same request costs with that rule lowered."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given

from service.products.goods.board import rule_costs
from tests.strategies import jobs, requests
from tests.strategies.asking import answered
from tests.strategies.budget import FEW

Request = dict[str, Any]


def lowered(request: Request, row: Request) -> Request:
    """The request with one rule as a row says; joints are asked for at each layer."""
    if row["key"] == "joints":
        return requests.changed(request, "/surfaces/0/layers/0/joints", row["used"])
    return requests.changed(request, f"/rules/{row['key']}", row["used"])


@FEW
@given(request=jobs.jobs())
def test_each_row_is_the_plan_of_the_request_with_that_rule_lowered(request: Request) -> None:
    """Cost and saving agree with the plan; asked for by itself, the lowered job costs as much."""
    request = {**request, "when_blocked": "refuse"}
    answer = answered(request | {"when_blocked": "relax", "effort": "thorough"})
    if answer["relaxed"]:
        return
    (plan,) = answer["cut_plans"]
    shares = [row["saves_pct"] for row in answer["rule_costs"]]
    assert shares == sorted(shares, reverse=True)
    for row in answer["rule_costs"]:
        assert row["saves"] >= 0
        assert row["cost"] + row["saves"] == pytest.approx(plan["cost"])
        assert row["saves_pct"] == pytest.approx(100 * row["saves"] / plan["cost"], abs=1e-3)
        again = answered(lowered(request, row))["cut_plans"][0]
        assert min(again["cost"], plan["cost"]) == pytest.approx(row["cost"])
        assert again["bound"] <= row["cost"] + 1e-6


def test_rules_are_costed_only_where_thorough_work_is_asked_for() -> None:
    request = requests.job(requests.room(300, 60))
    assert answered(request)["rule_costs"] == []
    keys = {row["key"] for row in answered(request | {"effort": "thorough"})["rule_costs"]}
    assert keys == {"stagger", "repeat", "min_bearings", "min_piece", "joints", "joint_trim"}


def test_an_end_trim_that_makes_a_stick_too_short() -> None:
    """Courses of 143-1/2 in from 12 ft sticks: with 1/2 in off each end, 143, none can be whole.

    Untrimmed one stick makes a course: 12 of 12 ft. Nothing of a second stick starts another.
    """
    room = requests.room(144, 62, layer={"rules": {"gap": 0.25, "end_trim": 0.5, "joint_cost": 0}})
    request = requests.job(room, requests.board("12 ft"), effort="thorough")
    rows = {row["key"]: row for row in answered(request)["rule_costs"]}
    assert rows["end_trim"]["cost"] == 12 * 144
    assert rows["end_trim"]["used"] == 0
    assert "none instead of 1/2 in: a plan with" in rows["end_trim"]["in_words"]


def test_bans_are_costed_where_they_shut_out_a_joint() -> None:
    """A hatch in the middle of a jointed course, and one that no joint could be near."""
    hatch = {"id": "hatch", "rectangle": [140, 20, 20, 6]}
    request = requests.job(requests.room(300, 60, openings=[hatch]), effort="thorough")
    keys = {row["key"] for row in answered(request)["rule_costs"]}
    assert {"joint_from_hole", "joint_beside_hole"} <= keys


def test_a_large_job_says_that_its_rules_are_not_costed(monkeypatch: pytest.MonkeyPatch) -> None:
    request = requests.job(requests.room(304, 60), effort="thorough")
    monkeypatch.setattr(rule_costs, "MOST_STATIONS", 10)
    answer = answered(request)
    assert answer["rule_costs"] == []
    assert "rules-not-costed" in {row["code"] for row in answer["findings"]}
