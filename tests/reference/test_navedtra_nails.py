"""Nails of tongue-and-groove boards: how many, how long, how many pounds.

Sources: blind nails at the tongue, one a bearing, one more for boards over 6 in, NAVEDTRA 14044,
chapter 4 (Application-133); counts a pound of casing nails from the classic tables of steel wire
nails (from memory, confirmed within 4 % by weight of the wire, except where two tables agree);
hold of 1-1/4 in for ring shank and 1-1/2 in for smooth, WWPA TG-8, pp. 8-9 (a reproduction), here
in framing alone.
Counts are arithmetic: crossings of every course, and one more at each joint.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.reference.test_navedtra_stagger import deck
from tests.strategies import requests
from tests.strategies.asking import answered, refused

Request = dict[str, Any]

CASING = {1.5: 473, 2: 236, 2.5: 145, 3: 94}
"""Casing nails a pound: 4d, 6d, 8d, 10d."""


def test_crossings_of_28_courses_with_one_joint_each() -> None:
    """28 x 16 = 448, and 28 joints each touched by two pieces: 476."""
    request = deck(0.125)
    answer = answered(requests.changed(request, "/objective", "fewest_joints"))
    assert len(answer["joints"]) == 28
    assert sum(row["bearings"] for row in answer["pieces"]) == 476
    assert sum(row["bearings"] for row in answer["runs"]) == 448


@pytest.mark.parametrize(("length", "per_pound"), CASING.items())
def test_pounds_are_counts_with_loss_over_count_a_pound(length: float, per_pound: int) -> None:
    """476 at 145 a pound with 20 % lost is 3.94 lb: four pounds. The same for every size."""
    nail = {"id": "casing", "form": "fastener", "lengths": [length], "shank": "ring",
            "per_pound": per_pound, "pounds": 1}  # fmt: skip
    fastening = {"pattern": "face", "product": "casing"}
    area = requests.room(180, 60, layer={"fastening": fastening}, rules={"loss_hand": 20})
    product = requests.board("16 ft", thickness=0.25)
    answer = answered(requests.job(area, product, nail))
    (row,) = (row for row in answer["order"] if row["product"] == "casing")
    assert row["need"] == sum(line["count"] for line in answer["fasteners"])
    assert row["packages"] == math.ceil(row["need"] * 1.2 / per_pound)


def nailed(shank: str, lengths: list[float]) -> Request:
    """A 3/4 in board over 1/2 in of sheathing, face-nailed."""
    nail = {"id": "nail", "form": "fastener", "lengths": lengths, "shank": shank}
    fastening = {"pattern": "face", "product": "nail"}
    area = requests.room(180, 60, layer={"fastening": fastening}, backing={"thickness": 0.5},
                         rules={"bite_in": "framing"})  # fmt: skip
    return requests.job(area, requests.board("16 ft"), nail)


def test_two_and_a_half_inches_hold_one_and_a_quarter() -> None:
    """2-1/2 - 3/4 - 1/2 = 1-1/4: enough for a ring shank."""
    answer = answered(nailed("ring", [2, 2.5, 3]))
    assert {(row["length"], row["bite"]) for row in answer["fasteners"]} == {(2.5, 1.25)}


def test_the_same_nail_smooth_is_too_short() -> None:
    """1-1/2 in is needed of a smooth shank: 3 in is taken, and refused if it is not to be had."""
    answer = answered(nailed("smooth", [2, 2.5, 3]))
    assert {row["length"] for row in answer["fasteners"]} == {3}
    refused(nailed("smooth", [2, 2.5]))


def test_two_inches_hold_neither() -> None:
    """2 - 3/4 - 1/2 = 3/4."""
    for shank in ("ring", "smooth"):
        refused(nailed(shank, [2]))
