"""Widths, strips and end laps of house wrap: arithmetic of laps; sources in the kind's table.

Least laps of a wall's barrier, 2 in at sides and 6 in at ends: International Residential Code,
section R703.2.
"""

from __future__ import annotations

from math import pi
from typing import Any

import pytest

from tests.strategies.asking import answered


def request_for(length: float, across: float, roll: float, lap: float, **more: Any) -> Any:
    """Wrap along x over a rectangle, no turn-downs."""
    rules = {"wrap_lap": lap, "turn_down": 0, "wrap_end_lap": 6, **more.pop("rules", {})}
    return {
        "unit": "in",
        "rules": rules,
        "surfaces": [
            {
                "id": "area",
                "rectangle": [length, across],
                "supports": {"direction": 90, "spacing": 16},
                "layers": [{"kind": "wrap", "product": "roll", "direction": 0}],
            }
        ],
        "products": [
            {"id": "roll", "form": "roll", "width": roll, "stock": [{"length": "100 ft"}]}
        ],
    } | more


@pytest.mark.parametrize(("roll", "share"), [(36, 1.18), (54, 1.33), (108, 1.77)])
def test_the_share_of_the_area_that_the_widths_take(roll: float, share: float) -> None:
    """122 in across: 118, 133 and 177 % of the area lie in the strips."""
    answer = answered(request_for(380, 122, roll, 6))
    taken = sum(row["length"] * row["width"] for row in answer["pieces"])
    assert taken / (380 * 122) == pytest.approx(share, abs=0.005)


def test_a_run_of_250_ft_from_rolls_of_100_ft() -> None:
    """Three pieces with two end laps of 6 in: 251 ft are used."""
    answer = answered(request_for(3000, 36, 36, 6))
    lengths = [row["length"] for row in answer["pieces"]]
    assert len(lengths) == 3
    assert sum(lengths) == 251 * 12
    assert [row["on"] for row in answer["joints"]] == ["lap", "lap"]
    assert [row["buy"] for row in answer["order"]] == [3]
    assert answer["cut_plans"][0]["optimal"]


def test_tape_by_shape() -> None:
    """Rectangle: perimeter + 8 x half the tape; round: pi x (diameter + tape width) (13.5)."""
    request = request_for(240, 144, 54, 6)
    surface = request["surfaces"][0]
    surface["openings"] = [
        {"id": "hatch", "rectangle": [60, 40, 24, 16], "cut_gap": 0},
        {"id": "light", "circle": [150, 60, 6], "cut_gap": 0},
    ]
    surface["layers"][0]["tape"] = "tape"
    request["products"].append({"id": "tape", "form": "tape", "width": 2.5, "length": "100 ft"})
    found = {row["where"]: row["length"] for row in answered(request)["consumables"]}
    assert found["side laps"] == 2 * 240
    assert found["openings"] == pytest.approx(80 + 8 * 1.25 + 3.14159265 * 8.5, abs=1e-4)


@pytest.mark.parametrize("clearance", [0, 0.25, 1.3])
@pytest.mark.parametrize("rise", [0, 1, 3])
def test_tape_round_a_light_in_a_slope(rise: int, clearance: float) -> None:
    """A circle seen from below is an ellipse in a slope: a curve yet, without corners (13.5).

    Its edge by Ramanujan's second formula for the perimeter of an ellipse (1914).
    """
    request = request_for(240, 144, 54, 6)
    surface = request["surfaces"][0]
    surface["openings"] = [
        {"id": "light", "circle": [150, 60, 6], "cut_gap": 0, "clearance": clearance}
    ]
    surface["layers"][0]["tape"] = "tape"
    if rise:
        surface["slope"] = {"rise": rise, "run": 12, "up": 90}
    request["products"].append({"id": "tape", "form": "tape", "width": 2.5, "length": "100 ft"})
    found = {row["where"]: row["length"] for row in answered(request)["consumables"]}
    a, b = 3 + clearance, 3 * (1 + (rise / 12) ** 2) ** 0.5 + clearance
    h = ((a - b) / (a + b)) ** 2
    edge = pi * (a + b) * (1 + 3 * h / (10 + (4 - 3 * h) ** 0.5))
    assert found["openings"] == pytest.approx(edge + pi * 2.5, abs=0.02)


def test_caps_on_members_and_laps_never_twice() -> None:
    """One member across two widths: 12 in apart, less the one beside the lap's row."""
    request = request_for(24, 48 + 42, 48, 6, rules={"end_distance": 0, "cap_bite": 0})
    request["surfaces"][0]["supports"] = {"direction": 90, "at": [12]}
    counts = {row["where"]: row["count"] for row in answered(request)["fasteners"]}
    # 90 in: 8 spaces, 9 caps, the seam at 45 in is 0 in from the fifth.
    assert counts == {"line": 8, "seam": 3}
