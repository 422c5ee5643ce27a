"""A hatch that grows in a plain ceiling: figures that follow from the trade rules alone.

An invented area, worked by hand here as the scenarios are, and no published source: no gap, no
trim, members as lines. A ceiling of 380 x 123 in, boards of 5.125 lengthwise: 123 / 5.125 = 24
courses. Members at 16, 32 ... 368: 23. The hatch is 60 x 15.375 at (162, 51.25), three courses from
the 11th on (51.25 / 5.125 = 10), and becomes 72 x 25.625 at (154, 46.125), five from the 10th on.

    net area      380 x 123 - 60 x 15.375 = 45 817.5 sq in, then - 72 x 25.625: 44 895; 922.5 less
    runs          24 x 380 - 3 x 60 = 8 940 in, then 24 x 380 - 5 x 72 = 8 760; 180 less
    crossings     24 x 23 = 552, less 3 courses at 176, 192, 208: 543; less 5 courses at these and
                  at 160 and 224: 527; 16 less, and as many blind nails
    round it      2 x (60 + 15.375) = 150.75 in, then 2 x (72 + 25.625) = 195.25
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest

from tests.reference.test_scenarios import THIN, TONGUE
from tests.strategies import requests
from tests.strategies.asking import answered
from tests.strategies.changes import asked_change

Request = dict[str, Any]

RULES = {
    "gap": 0, "min_rip": 0.5, "kerf": 0.125, "stagger": 0, "min_piece": 12, "end_trim": 0,
    "cull": 0, "spare": 0, "loss_hand": 0, "loss_collated": 0, "repeat": 0,
    "min_touch": THIN["in"] / 2, "joint_from_hole": 0, "joint_beside_hole": 0, "joint_cost": 0,
    "most_joints": None,
}  # fmt: skip


def ceiling(hatch: list[float]) -> Request:
    behind = {"direction": 90, "spacing": 16, "first": 16, "thickness": THIN["in"]}
    area = requests.room(
        380, 123, behind=behind, type="ceiling",
        layer={"joints": "anywhere", "fastening": {"pattern": "blind"}},
        openings=[{"id": "hatch", "rectangle": hatch, "cut_gap": 0}],
    )  # fmt: skip
    board = requests.board("8 ft", "12 ft", "20 ft", thickness=TONGUE["in"] * 3,
                           overall=5.375)  # fmt: skip
    return requests.job(area, board, rules=RULES)


BEFORE, AFTER = ceiling([162, 51.25, 60, 15.375]), ceiling([154, 46.125, 72, 25.625])


@cache
def made(installed: str) -> Request:
    found = asked_change({"before": BEFORE, "after": AFTER, "installed": installed})
    assert found.kind == "answer", found.body
    told: Request = json.loads(found.body)
    return told


def test_both_sides_are_what_they_are_alone() -> None:
    before, after = answered(BEFORE), answered(AFTER)
    assert [one["surfaces"][0]["net"] * 144 for one in (before, after)] == pytest.approx(
        [45_817.5, 44_895], abs=1e-3
    )
    runs = [sum(row["to"] - row["from"] for row in one["pieces"]) for one in (before, after)]
    assert runs == pytest.approx([8_940, 8_760])
    crossed = [sum(row["bearings"] for row in one["runs"]) for one in (before, after)]
    assert crossed == [543, 527]


@pytest.mark.parametrize("installed", ["nothing", "everything"])
def test_what_goes_is_so_much_more_than_what_comes(installed: str) -> None:
    """Whether anything is up or not: 922.5 sq in = 6.40625 sq ft, and 180 in of boards."""
    rows = made(installed)["pieces"]
    lost = sum(row["was_area"] - row["is_area"] for row in rows)
    assert lost == pytest.approx(6.40625, abs=1e-4)
    (total,) = made(installed)["totals"]
    assert total["removed_area"] - total["added_area"] == pytest.approx(6.40625, abs=1e-4)


def test_of_what_is_up_only_the_courses_of_the_new_hatch_are_touched() -> None:
    """Courses 10 to 14."""
    touched = {row["course"] for row in made("everything")["pieces"] if row["do"] != "keep"}
    assert touched == set(range(10, 15))


def test_the_frame_of_the_new_hatch_is_set_and_that_of_the_old_one_goes() -> None:
    """Headers reach from the member before each hatch to the one behind it, less their halves.

    The old one cuts 176, 192 and 208: from 160 to 224; the new one 160 to 224: from 144 to 240.
    """
    half = THIN["in"] / 2
    for do, low, high, sides in (
        ("remove", 160, 224, (51.25, 66.625)), ("add", 144, 240, (46.125, 71.75)),
    ):  # fmt: skip
        lines = [row for row in made("everything")["framing"]
                 if (row["do"], row["what"]) == (do, "header")]  # fmt: skip
        assert [row["length"] for row in lines] == pytest.approx([high - low - 2 * half] * 2)
        assert sorted(row["from"][1] for row in lines) == pytest.approx(list(sides))
