"""Findings of a boarded layer, one request each. Common practice; the numbers are arithmetic."""

import json
from pathlib import Path
from typing import Any

import pytest

from service.compute import answer

SMALL = json.loads((Path(__file__).parents[2] / "openapi" / "examples" / "small.json").read_text())


def asked(**surface: Any) -> dict[str, Any]:
    """The answer to the small job with its surface changed."""
    job = json.loads(json.dumps(SMALL))
    job["surfaces"][0].update(surface)
    return json.loads(answer(json.dumps(job).encode()).body)


def found(answered: dict[str, Any]) -> dict[str, Any]:
    return {row["code"]: row for row in answered["findings"]}


def test_a_lamp_on_a_joint_can_be_moved_into_a_board() -> None:
    """Courses of 5-1/8 from a first of 4-7/8: a joint at 0.5 + 4.875 + 5 x 5.125 = 31."""
    lamp = {"id": "lamp", "circle": [96, 31, 3], "cut_gap": 0}
    finding = found(asked(openings=[lamp]))["hole-on-joint"]
    assert finding["at"] == "loft.lamp"
    assert finding["cure"][0]["value"] == [{"at": 31.0, "on": "centre"}]


def test_a_lamp_inside_a_board_is_not_mentioned() -> None:
    lamp = {"id": "lamp", "circle": [96, 31 + 5.125 / 2, 3], "cut_gap": 0}
    assert "hole-on-joint" not in found(asked(openings=[lamp]))


def test_a_ring_must_lap_the_board() -> None:
    lamp = {"id": "lamp", "circle": [96, 60, 3], "clearance": 0.25, "flange": 0.5}
    finding = found(asked(openings=[lamp]))["flange-narrow"]
    assert (finding["measure"], finding["limit"]) == (0.25, 0.375)


def test_a_frail_leg_and_a_long_hole_are_said() -> None:
    """Course 6 lies from 25.875 to 31: a slot from 26.5 leaves a leg of 5/8 in."""
    slot = {"id": "slot", "rectangle": [60, 26.5, 14, 3], "cut_gap": 0}
    rows = found(asked(openings=[slot]))
    assert rows["leg-frail"]["measure"] == pytest.approx(0.625)
    assert rows["hole-long"]["measure"] == pytest.approx(14)


def test_a_long_notch_is_no_long_hole() -> None:
    """From 23 to 28-1/2 over 14 in: of courses 5, 20.75 to 25.875, and 6, to 31, 2-1/4 and 2-1/2
    are left: both are notched, and neither has a hole (5.2)."""
    slot = {"id": "slot", "rectangle": [60, 23, 14, 5.5], "cut_gap": 0}
    answer = asked(openings=[slot])
    cut = [one["effect"] for row in answer["pieces"] for one in row["cutouts"]]
    assert cut == ["notch", "notch"]
    assert "hole-long" not in {row["code"] for row in answer["findings"]}


def test_a_lap_a_hole_and_a_joint_of_holes_just_as_they_may_be() -> None:
    """A ring that laps 3/8 in and a slot of 12 in inside a board are told nothing (5.1, 5.2).

    Two of 6-1/2 in that touch are one of 13; a hatch half out of the room is told to be.
    """
    lamp = {"id": "lamp", "circle": [96, 60, 3], "clearance": 0.125, "flange": 0.5}
    slots = [{"id": name, "rectangle": [at, 27, long, 2], "cut_gap": 0}
             for name, at, long in (("a", 20, 12), ("b", 50, 6.5), ("c", 56.5, 6.5))]  # fmt: skip
    hatch = {"id": "hatch", "rectangle": [-10, 80, 30, 20]}
    rows = asked(openings=[lamp, *slots, hatch])["findings"]
    assert "flange-narrow" not in {row["code"] for row in rows}
    assert [row["measure"] for row in rows if row["code"] == "hole-long"] == [13]
    assert [row["at"] for row in rows if row["code"] == "opening-crosses-edge"] == ["loft.hatch"]


def test_a_short_part_is_left_to_the_trim() -> None:
    """2 in of boards beside an opening near the wall: under 3 in, listed, not boarded."""
    hole = {"id": "shaft", "rectangle": [2.5, 40, 60, 30], "cut_gap": 0}
    answered = asked(openings=[hole])
    assert found(answered)["run-dropped"]["measure"] == pytest.approx(2)
    assert min(run["length"] for run in answered["runs"]) >= 3


def test_the_last_course_drops_in_where_the_gap_is_tight() -> None:
    """Gap 1/4 is under tongue 1/4 + 1/16, so it cannot slide on."""
    finding = found(asked(rules={"gap": 0.25}))["last-course-drop-in"]
    assert (finding["measure"], finding["limit"]) == (0.25, 0.3125)


def test_a_diagonal_that_misses_is_said() -> None:
    job = json.loads(json.dumps(SMALL))
    surface = job["surfaces"][0]
    del surface["rectangle"]
    surface |= {"sides": [144, 108, 144, 108], "diagonals": [180, 182]}
    finding = found(json.loads(answer(json.dumps(job).encode()).body))["diagonal-misfit"]
    assert finding["measure"] == pytest.approx(2, abs=1e-4)


def test_metric_weights_are_kilograms() -> None:
    """1 lb = 0.45359237 kg exactly; the stock is the same either way."""
    job = json.loads(json.dumps(SMALL))
    job["products"][0] |= {"density": "28 lb/ft3"}
    job["rules"] = {"cut_to": "1/16 in"}
    pounds = json.loads(answer(json.dumps(job).encode()).body)
    job["unit"] = "mm"
    job["surfaces"][0]["rectangle"] = ["192 in", "144 in"]
    job["surfaces"][0]["supports"] = {"direction": 90, "first": "16 in", "spacing": "16 in"}
    kilograms = json.loads(answer(json.dumps(job).encode()).body)
    assert (pounds["units"]["weight"], kilograms["units"]["weight"]) == ("lb", "kg")
    both = [sum(row["weight"] for row in one["order"]) for one in (pounds, kilograms)]
    assert both[1] == pytest.approx(both[0] * 0.45359237, abs=0.001)
