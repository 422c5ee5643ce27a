"""Mouldings of the invented areas of `scenarios.json`, and of a veranda's coffers."""

from __future__ import annotations

import math
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


def of_a_room(points: list[list[float]], **more: Any) -> Request:
    """The sums of a moulding round a room, mitred."""
    area = {"view": "facing"} | more.pop("area", {})
    request = trim.round_room(points, trim.moulding("60 ft"), inside="mitred", **more)
    request["surfaces"][0] |= area
    (row,) = answered(request)["trim_totals"]
    return dict(row)


ROOM = [[0, 0], [200, 0], [200, 120], [0, 120]]
NOTCHED = {"openings": [{"id": "chase", "rectangle": [80, 0, 30, 20]},
                        {"id": "well", "rectangle": [30, 50, 20, 20]}]}  # fmt: skip


def test_a_chase_at_a_wall_by_hand() -> None:
    """Of 640 in of walls a chase takes 30, and has 20 + 30 + 20 of its own; a well has none.

    Two corners more inside and two outside, whose four pieces are 1-3/4 in longer each. Along the
    named walls alone what is left of them is 610.
    """
    row = of_a_room(ROOM, area=NOTCHED)
    assert (row["length"], row["cut"]) == (640 - 30 + 70, 680 + 4 * 1.75)
    assert (row["inside_corners"], row["outside_corners"]) == (6, 2)
    row = of_a_room(ROOM, area=NOTCHED, edges=[0, 1, 2, 3])
    assert (row["length"], row["inside_corners"], row["outside_corners"]) == (610, 4, 0)


def test_a_half_round_end_by_hand() -> None:
    """24 chords of 7-1/2 degrees on a radius of 96: 23 bends, and two corners of 93-3/4 degrees.

    24 x 2 x 96 x sin 3-3/4 = 301.3775, and 192 of the straight wall.
    """
    ways = [math.radians(7.5 * k) for k in range(25)]
    points = [[round(96 * math.cos(way), 4), round(96 * math.sin(way), 4)] for way in ways]
    row = of_a_room(points)
    assert row["length"] == pytest.approx(301.3775 + 192, abs=0.005)
    assert (row["segment_joints"], row["inside_corners"], row["outside_corners"]) == (23, 2, 0)


def test_one_plane_of_a_vault_by_hand() -> None:
    """120 in of run at 6 in 12 are 120 x sqrt(1.25) = 134.1641 up the rake, twice; an eave of 144.

    No wall stands at the ridge, where the planes meet.
    """
    area = {"slope": {"rise": 6, "run": 12, "up": 0}, "edges": [{"edge": 1, "is": "mitre"}]}
    row = of_a_room([[0, 0], [120, 0], [120, 144], [0, 144]], area=area)
    assert row["length"] == pytest.approx(144 + 2 * 134.1641, abs=1e-3)
    assert (row["inside_corners"], row["outside_corners"]) == (2, 0)


def test_a_grid_of_eight_bays_by_hand() -> None:
    """300 x 180 with three beams of 6 in across and one along: bays of 70-1/2 x 87, 2520 in round.

    (300 - 18) / 4 and (180 - 6) / 2; 8 x 2 x 157-1/2 = 2520, with 32 inside corners. Beams cover
    3 x 6 x 180 + 6 x 300 - 3 x 36 = 4932 sq in, so bays are 54000 - 4932 = 340.75 sq ft.
    """
    beams = {"kind": "box_beams", "product": "fir", "width": 6, "drop": 5,
             "sets": [{"direction": 90, "count": 3}, {"direction": 0, "count": 1}]}  # fmt: skip
    fir = {"id": "fir", "form": "board", "profile": "square_edge", "overall": 9.25,
           "thickness": 0.75, "stock": [{"length": "20 ft"}]}  # fmt: skip
    area = requests.room(300, 180, view="facing")
    area["layers"] = [beams, {"kind": "trim", "product": "cove", "inside": "mitred"}]
    answer = answered(requests.job(area, fir, trim.moulding("16 ft")))
    (row,) = answer["trim_totals"]
    assert (row["length"], row["cut"], row["inside_corners"]) == (2520, 2520, 32)
    assert [(bay["along"], bay["across"]) for bay in answer["bays"]] == [(70.5, 87)] * 8
    assert sum(bay["area"] for bay in answer["bays"]) == pytest.approx(340.75, abs=1e-5)


def test_siding_between_corner_boards_by_hand() -> None:
    """Two walls of 144 and 120 x 100 that meet, with corner boards of 3-1/2 x 3/4 in (17.7, 3.15).

    The board that laps lies 3/4 in beyond its wall and takes 2-3/4 of it, as the one that butts
    does, ripped to that: siding ends 2-3/4 and a joint of 3/16 from the corner on both walls. From
    1/2 in over the floor to 1/2 under the ceiling 99 in are 17 courses of 5.8235, none over 6.
    """
    siding = {"id": "siding", "form": "board", "profile": "lapped", "overall": 7.25,
              "coverage": 6, "thickness": 0.5, "stock": [{"length": "12 ft"}]}  # fmt: skip
    strip = {"id": "strip", "form": "moulding", "width": 3.5, "thickness": 0.75,
             "stock": [{"length": "10 ft"}]}  # fmt: skip
    areas = []
    for name, length, edge, how in (("front", 144, 1, "lapping"), ("side", 120, 3, "butting")):
        corner = {"id": "corner", "kind": "trim", "product": "strip", "edges": [edge],
                  "board": how, "gap": 0.1875}  # fmt: skip
        boards = {"id": "siding", "kind": "boarding", "product": "siding", "direction": 0}
        areas.append(requests.room(length, 100, type="wall") | {
            "id": name, "layers": [corner, boards]})  # fmt: skip
    answer = answered(requests.job(areas, siding, strip))
    runs = {row["surface"]: (row["from"], row["to"]) for row in answer["runs"]
            if row["layer"] == "siding" and row["course"] == 1}  # fmt: skip
    assert runs == {"front": (0.5, 141.0625), "side": (2.9375, 119.5)}
    widths = [row["width"] for row in answer["courses"] if row["surface"] == "front"]
    assert widths == pytest.approx([99 / 17] * 17, abs=1e-6)
    areas_of = {row["surface"]: row["area"] for row in answer["pieces"] if row["layer"] == "corner"}
    assert areas_of == pytest.approx({"front": 350 / 144, "side": 275 / 144}, abs=1e-6)
    rips = {row["surface"]: [one["widths"] for one in row["work"] if one["do"] == "rip"]
            for row in answer["pieces"] if row["layer"] == "corner"}  # fmt: skip
    assert rips == {"front": [], "side": [[2.75, 2.75]]}


def test_a_turn_as_great_as_the_limit_is_a_corner() -> None:
    """A square with its corners cut off turns by 45 degrees eight times (17.6)."""
    points = [[20, 0], [80, 0], [100, 20], [100, 80], [80, 100], [20, 100], [0, 80], [0, 20]]
    for over, corners in ((45, 8), (46, 0)):
        row = of_a_room(points, rules={"corner_over": over})
        assert (row["inside_corners"], row["segment_joints"]) == (corners, 8 - corners)
