"""Straps two side by side where joints of what follows land, and nowhere else (14.2).

What lies under which joint is found in the tables of the answer alone.
"""

from __future__ import annotations

import copy
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies.asking import Request, answered
from tests.strategies.budget import FEW

NEAR = 1e-4
"""Stations are printed to the millionth of an inch."""


def ceiling(long: float, wide: float, across: float, **layer: Any) -> Request:
    """Straps `across` wide under joists along a ceiling, and boards on them."""
    surface = {
        "id": "room", "type": "ceiling", "view": "facing", "rectangle": [long, wide],
        "supports": {"direction": 0, "first": 8, "spacing": 16},
        "layers": [
            {"id": "straps", "kind": "strapping", "product": "strap", "doubled": "joints", **layer},
            {"id": "boards", "kind": "boarding", "product": "pine", "direction": 0},
        ],
    }  # fmt: skip
    stock = {"thickness": 0.75, "stock": [{"length": 96}, {"length": 144}]}
    strap = {"id": "strap", "form": "lumber", "width": across} | stock
    pine = {"id": "pine", "form": "board", "profile": "tongue_and_groove", "overall": 5.375,
            "coverage": 5.125} | stock  # fmt: skip
    return {"unit": "in", "surfaces": [surface], "products": [strap, pine]}


def rows(found: Request, table: str, layer: str) -> list[Request]:
    return [row for row in found[table] if row["layer"] == layer]


def under_joints(found: Request, layer: str = "boards") -> set[int]:
    """The lines of straps whose middle a joint lies on."""
    joints = {row["at"] for row in rows(found, "joints", layer)}
    return {
        row["course"]
        for row in rows(found, "courses", "straps")
        if any(abs((row["near"] + row["far"]) / 2 - at) < NEAR for at in joints)
    }


@FEW
@given(
    long=st.integers(150, 420), wide=st.integers(40, 130), across=st.sampled_from([0.75, 1.25, 2]),
    hatch=st.booleans(), lines=st.sampled_from(["equal", "module"]),
)  # fmt: skip
def test_two_straps_lie_side_by_side_under_each_joint_and_under_no_other_board(
    long: int, wide: int, across: float, hatch: bool, lines: str
) -> None:
    """Each of two board ends that meet has a strap of its own, and every joint lies on such."""
    request = ceiling(long, wide, across, lines=lines)
    if hatch:
        request["surfaces"][0]["openings"] = [{"id": "hatch", "rectangle": [60, 12, 24, 14]}]
    found = answered(request)
    landed = under_joints(found)
    for row in rows(found, "courses", "straps"):
        pair = row["course"] in landed
        assert row["width"] == pytest.approx(across * (2 if pair else 1))
        assert row["note"] == ("two side by side" if pair else "")
    straps = rows(found, "pieces", "straps")
    course = {row["course"]: row for row in rows(found, "courses", "boards")}
    for joint in rows(found, "joints", "boards"):
        at, on = joint["at"], course[joint["course"]]
        middle = (on["near"] + on["far"]) / 2
        here = [one for one in straps if one["from"] - NEAR <= middle <= one["to"] + NEAR]
        assert any(abs(one["far"] - at) < NEAR for one in here)
        assert any(abs(one["near"] - at) < NEAR for one in here)


@cache
def room_of_25_feet() -> Request:
    return answered(ceiling(300, 120, 1.25))


def test_a_room_by_hand() -> None:
    """300 x 120 in, straps 1-1/4 in at most 16 in on centre.

    A pair is 2-1/2 in wide, so lines stand 1-1/4 in from the walls: 297-1/2 in between them makes
    19 bays and 20 lines. Of joists at 8, 24 ... 120 in there are 8, and of the last half of its
    1-1/2 in lies in the room, over 1/2 in; each strap is one piece of 120 in, with 2 fasteners on
    each.
    """
    found = room_of_25_feet()
    landed = under_joints(found)
    assert len(rows(found, "courses", "straps")) == 20
    assert 1 < len(landed) < 20
    assert len(rows(found, "pieces", "straps")) == 20 + len(landed)
    (nails,) = rows(found, "fasteners", "straps")
    assert nails["count"] == 2 * 8 * (20 + len(landed))
    (placed,) = [row for row in found["ledger"] if (row["product"], row["account"])
                 == ("strap", "installed")]  # fmt: skip
    assert placed["length"] == 120 * (20 + len(landed))


def test_joints_are_those_of_straps_that_are_all_doubled() -> None:
    """What carries a joint is as wide, so boards are cut alike; only straps are saved."""
    request = ceiling(300, 120, 1.25, doubled=True)
    found = answered(request)
    mine = [[row["at"], row["course"]] for row in rows(room_of_25_feet(), "joints", "boards")]
    assert [[row["at"], row["course"]] for row in rows(found, "joints", "boards")] == mine
    assert len(rows(found, "pieces", "straps")) == 40


def test_single_straps_as_narrow_carry_no_joint() -> None:
    """Boards on them are refused where no stick reaches from wall to wall, or say how narrow."""
    request = ceiling(140, 60, 1.25, doubled=False)
    found = answered(request)
    assert not rows(found, "joints", "boards")
    (told,) = [row for row in found["findings"] if row["code"] == "strap-narrow"]
    assert [one["value"] for one in told["cure"]] == ["joints"]


@pytest.mark.parametrize("direction", [0, 90])
def test_ends_and_seams_of_sheets_land_on_two_straps_too(direction: int) -> None:
    """Sheets across the straps end on them; those that run with them meet along them."""
    request = copy.deepcopy(ceiling(300, 120, 1))
    sheets = {"id": "sheets", "kind": "sheathing", "product": "ply", "direction": direction}
    request["surfaces"][0]["layers"][1] = sheets
    request["products"][1] = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5,
                              "stock": [{"length": 96}]}  # fmt: skip
    found = answered(request)
    straps = rows(found, "courses", "straps")
    pairs = {row["course"] for row in straps if row["width"] == 2}
    if direction == 0:
        assert pairs == under_joints(found, "sheets") != set()
        return
    # A gap of 1/8 in lies in the middle of the line on which two rows meet.
    seams = sorted(row["far"] + 0.0625 for row in rows(found, "courses", "sheets"))[:-1]
    middles = {row["course"]: (row["near"] + row["far"]) / 2 for row in straps}
    under = {one for one, at in middles.items() if any(abs(at - seam) < NEAR for seam in seams)}
    assert pairs == under
    assert len(pairs) == len(seams)
