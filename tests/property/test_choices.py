"""Plans side by side (6.7): least material, as chosen, fewest joints, each with its own bound."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import jobs, requests
from tests.strategies.asking import answered
from tests.strategies.budget import FEW

Request = dict[str, Any]


def choices(request: Request) -> dict[str, Request]:
    """The rows of the first board of a job, by what each saves."""
    rows = answered(request | {"choices": True})["choices"]
    first = rows[0]["product"] if rows else None
    return {row["choice"]: row for row in rows if row["product"] == first}


@FEW
@given(request=jobs.rectangular(), priced=st.booleans())
def test_no_plan_beside_the_chosen_one_takes_less_of_both(request: Request, priced: bool) -> None:
    """And each is what the same job gives where it is solved for that alone."""
    if priced:
        for product in request["products"]:
            for row in product.get("stock", []):
                row.setdefault("price", 7)
    found = choices(request)
    assert list(found) == ["least_material", "as_chosen", "fewest_joints"]
    chosen = found["as_chosen"]
    plan = answered(request | {"choices": True})["cut_plans"][0]
    assert plan["cost"] == chosen["total"]
    assert plan["joints"] == chosen["joints"]
    for row in found.values():
        assert row["material"] <= row["total"] + 1e-9
        less = (row["material"], row["joints"]) != (chosen["material"], chosen["joints"])
        assert not (
            less and row["material"] <= chosen["material"] and row["joints"] <= chosen["joints"]
        )
        assert row["total"] >= chosen["total"] - 1e-6
        assert chosen["bound"] <= row["total"] + 1e-6
        assert found["least_material"]["bound"] <= row["material"] + 1e-6
        assert found["fewest_joints"]["fewest_joints"] <= row["joints"]


def test_each_choice_is_the_job_solved_for_it() -> None:
    request = requests.job(requests.room(300, 60), requests.board("8 ft", "12 ft", "14 ft"))
    found = choices(request)
    bare = requests.changed(request, "/rules", {"joint_cost": 0})
    (least,) = answered(bare)["cut_plans"]
    assert found["least_material"]["material"] == least["cost"]
    assert found["least_material"]["bound"] == least["bound"]
    few = answered(request | {"objective": "fewest_joints"})
    assert found["fewest_joints"]["joints"] == len(few["joints"])
    assert found["fewest_joints"]["joints"] <= found["as_chosen"]["joints"]
    assert found["as_chosen"]["joints"] <= found["least_material"]["joints"]


def test_choices_are_there_when_asked_for() -> None:
    request = requests.job(requests.room(300, 60))
    assert answered(request)["choices"] == []
    shortest = min(piece["length"] for piece in answered(request)["pieces"])
    assert choices(request)["as_chosen"]["shortest"] == pytest.approx(shortest)
