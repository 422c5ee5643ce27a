"""Mouldings of the invented areas of `scenarios.json`, and of a veranda's coffers."""

from __future__ import annotations

from typing import Any

import pytest

from tests.reference.test_scenarios import FILE, RUN, SCENARIOS, request_of
from tests.strategies import requests, trim
from tests.strategies.asking import answered

Request = dict[str, Any]

RIDGES = {"south": 2, "north": 0}
"""The edge of each plane of the vault in which the two meet: no wall stands there."""


def trimmed(name: str) -> Request:
    """The areas of a scenario with a moulding alone."""
    request = request_of(name)
    long = {"in": 600, "mm": 15_000}[request["unit"]]
    small = {"in": 0.75, "mm": 20}[request["unit"]]
    cove = {"id": "cove", "form": "moulding", "width": small, "thickness": small,
            "stock": [{"length": long}]}  # fmt: skip
    layer = {"id": "cove", "kind": "trim", "product": "cove"}
    areas = [area | {"layers": [layer]} for area in request["surfaces"]]
    for area in areas:
        if name == "S08":
            area["edges"] = [{"edge": RIDGES[area["id"]], "is": "mitre"}]
    return {"unit": request["unit"], "surfaces": areas, "products": [cove]}


def total(answer: Request, key: str) -> float:
    return float(sum(row[key] for row in answer["trim_totals"]))


@pytest.mark.parametrize("name", RUN)
def test_moulding_and_corners_of_the_scenarios(name: str) -> None:
    """Its length along the walls; of a curve the bends count apart from the corners (17.6)."""
    scenario, answer = SCENARIOS[name], answered(trimmed(name))
    expected, give = scenario["expected"], FILE["tolerance"][f"length_{scenario['units']}"]
    assert total(answer, "length") == pytest.approx(expected["moulding_length"], abs=give)
    if "inside_corners" not in expected:
        return
    over = expected.get("corners_turning_over_15deg", expected["inside_corners"])
    assert total(answer, "inside_corners") == over
    assert total(answer, "segment_joints") == expected["inside_corners"] - over
    assert total(answer, "outside_corners") == expected["outside_corners"]


def test_the_quarter_circle_has_fifteen_bends() -> None:
    """S19: 18 corners of the outline, of which 3 turn over 15 degrees."""
    assert total(answered(trimmed("S19")), "segment_joints") == 15


def test_the_coffers_of_the_veranda() -> None:
    """Six bays of 121-2/3 x 57-1/4: 178.9 ft, four inside corners each; the room 83.7 (17.5)."""
    sides = [121.666667, 57.25]
    bays = [requests.surface({"rectangle": sides}) | {"id": f"bay-{k}"} for k in range(6)]
    for bay in bays:
        bay["layers"] = [{"id": "cove", "kind": "trim", "product": "cove"}]
    answer = answered(requests.job(bays, trim.moulding()))
    assert total(answer, "length") / 12 == pytest.approx(178.9, abs=0.05)
    assert total(answer, "inside_corners") == 24
