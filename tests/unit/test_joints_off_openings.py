"""How far joints keep off openings where nothing is sent (5.5), worked by hand."""

from __future__ import annotations

from typing import Any

import pytest

from tests.strategies.asking import answered
from tests.strategies.requests import COVER, board, job, room

RULES = {"gap": 0, "joint_trim": 0, "wall_trim": 0, "min_piece": 40, "stagger": 0, "repeat": 0}
"""Of 100 in from sticks of 60, pieces of 40 in or more: one joint, from 40 to 60."""


def keeps_off(opening: list[float], **rules: Any) -> bool:
    """Whether joints of three courses keep off such an opening; where none can, that is told."""
    layer = {"start": "full_first", "joints": "anywhere", "rules": RULES | rules}
    area = room(100, 3 * COVER, layer=layer,
                openings=[{"id": "hole", "rectangle": opening, "cut_gap": 0}])  # fmt: skip
    found = answered(job(area, board(60)))["findings"]
    return "joint-near-hole" not in {row["code"] for row in found}


@pytest.mark.parametrize(("rules", "kept"), [({}, False), ({"joint_from_hole": 11}, True)])
def test_a_pierced_board_has_no_joint_within_12_in(rules: dict[str, Any], kept: bool) -> None:
    """A hole from 51 to 55: off it by 12 leaves 39 and 67, by 11 the 40 that a joint may be at."""
    assert keeps_off([51, COVER + 1, 4, 3], **rules) == kept


@pytest.mark.parametrize(("rules", "kept"), [({}, False), ({"joint_beside_hole": 5}, True)])
def test_courses_beside_an_opening_have_none_within_6_in_of_its_ends(
    rules: dict[str, Any], kept: bool
) -> None:
    """One from 45 to 55 parts the course between: off both by 6 is from 39 to 61, by 5 leaves 50.

    That course has 45 in on either side, of one piece each.
    """
    assert keeps_off([45, COVER, 10, COVER], **rules) == kept


@pytest.mark.parametrize(("off", "at_96"), [(5, False), (6, True)])
def test_panels_have_no_joint_within_6_in_of_a_corner(off: float, at_96: bool) -> None:
    """Two sheets of 96 in make 192, unless an opening's corner is nearer than 6 to their joint."""
    panel = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5,
             "stock": [{"length": 96}]}  # fmt: skip
    hatch = {"id": "hatch", "rectangle": [96 + off, 12, 20, 20], "cut_gap": 0}
    area = room(192, 48, layer={}, openings=[hatch])
    area["layers"] = [{"id": "ply", "kind": "sheathing", "product": "ply", "direction": 0,
                       "rules": {"panel_gap": 0, "panel_wall_gap": 0}}]  # fmt: skip
    area["supports"] = {"direction": 90, "spacing": 16, "first": 16, "ends": True}
    found = answered({"unit": "in", "surfaces": [area], "products": [panel]})
    assert (96 in [row["at"] for row in found["joints"]]) == at_96
