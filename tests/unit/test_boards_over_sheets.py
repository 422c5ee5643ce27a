"""Boards over panels that are laid before them: joints, holds and what is said of them.

Common practice; the numbers are arithmetic.
"""

from __future__ import annotations

from typing import Any

from tests.independent.json_patch import patched
from tests.strategies.asking import answered, refused
from tests.strategies.requests import board, changed

Request = dict[str, Any]

ROOM: Request = {
    "unit": "in",
    "surfaces": [
        {
            "id": "hall",
            "view": "facing",
            "rectangle": [384, 96],
            "supports": {"direction": 90, "first": 16, "spacing": 16, "ends": True},
            "layers": [
                {"kind": "sheathing", "product": "sheet"},
                {"kind": "boarding", "product": "pine", "direction": 0,
                 "fastening": {"product": "nail"}},
            ],
        }
    ],
    "products": [
        {"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
         "stock": [{"length": 95.875}]},
        board("8 ft", "10 ft", "12 ft", "16 ft"),
        {"id": "nail", "form": "fastener", "shank": "ring", "lengths": [1.25, 2, 2.5]},
    ],
}  # fmt: skip

BOARDS = "/surfaces/0/layers/1"


def joints(answer: Request, layer: str) -> dict[int, list[float]]:
    found: dict[int, list[float]] = {}
    for row in answer["joints"]:
        if row["layer"] == layer:
            found.setdefault(row["course"], []).append(row["at"])
    return found


def on_panel_joints(answer: Request) -> int:
    """Board joints that fall on an end joint of the row of panels behind them, counted here."""
    rows = {row["course"]: (row["near"], row["far"]) for row in answer["courses"]
            if row["layer"] == "sheathing"}  # fmt: skip
    panels = joints(answer, "sheathing")
    count = 0
    for course in (row for row in answer["courses"] if row["layer"] == "boarding"):
        middle = (course["near"] + course["far"]) / 2
        behind = [
            at for row, (low, high) in rows.items() if low <= middle <= high for at in panels[row]
        ]
        for at in joints(answer, "boarding").get(course["course"], ()):
            count += any(abs(at - other) < 0.5 for other in behind)
    return count


def findings(answer: Request, code: str) -> list[Request]:
    return [row for row in answer["findings"] if row["code"] == code]


def test_joints_on_panel_joints_are_counted() -> None:
    answer = answered(ROOM)
    count = on_panel_joints(answer)
    assert count > 0
    (row,) = findings(answer, "joint-on-panel-joint")
    assert row["text"].startswith(f"{count} joints")


def test_the_rule_that_is_named_keeps_board_joints_off_panel_joints() -> None:
    (row,) = findings(answered(ROOM), "joint-on-panel-joint")
    assert 'set `joint_from_panel_joint`, to 1/2" or more' in row["text"]
    apart = answered(changed(ROOM, f"{BOARDS}/rules", {"joint_from_panel_joint": 0.5}))
    assert on_panel_joints(apart) == 0
    assert findings(apart, "joint-on-panel-joint") == []


def test_a_distance_from_panel_joints_that_no_joint_can_keep_is_refused_with_a_cure() -> None:
    """No joint is 60 in from panel joints that are at most 96 in apart."""
    request = changed(ROOM, f"{BOARDS}/rules", {"joint_from_panel_joint": 60})
    _, (fault,) = refused(request)
    assert fault["code"] == "joints-blocked"
    answered(patched(request, fault["cure"]))


def test_boards_along_the_framing_hold_in_the_panel_and_say_so() -> None:
    """Joints anywhere on the panel, two fasteners at each end of one; hold is its thickness."""
    turned = changed(ROOM, f"{BOARDS}/direction", 90)
    long = changed(turned, "/surfaces/0/rectangle", [96, 384])
    across = changed(long, "/surfaces/0/supports/direction", 90)
    answer = answered(across)
    assert {row["on"] for row in answer["joints"] if row["layer"] == "boarding"} == {"sheathing"}
    assert len(findings(answer, "held-by-panel")) == 1
    rows = [row for row in answer["fasteners"] if row["layer"] == "boarding"]
    assert {row["depth"] for row in rows if row["place"] == "face"} == {0.5}
    ends = 2 * 2 * sum(row["layer"] == "boarding" for row in answer["joints"])
    assert sum(row["count"] for row in rows if row["where"] == "joint end") == ends


def test_boards_along_the_framing_without_a_panel_are_refused() -> None:
    layers = ROOM["surfaces"][0]["layers"][1:]
    bare = changed(
        changed(ROOM, "/surfaces/0/layers", layers), "/surfaces/0/layers/0/direction", 90
    )
    _, (fault,) = refused(bare)
    assert fault["code"] == "no-bearing"


def test_nails_pass_board_wrap_panel_and_shim() -> None:
    """Face: 3/4 board + 1/2 panel + 1/4 shim leave 1 in of 2-1/2: short of 1-1/4 (18.11)."""
    shimmed = changed(ROOM, "/surfaces/0/supports/shim", 0.25)
    _, (fault,) = refused(shimmed)
    assert fault["code"] == "fastener-short"
    cured = answered(patched(shimmed, fault["cure"]))
    face = [row for row in cured["fasteners"] if row["place"] == "face"
            and row["layer"] == "boarding"]  # fmt: skip
    assert {row["bite"] for row in face} == {face[0]["length"] - 0.75 - 0.5 - 0.25}
