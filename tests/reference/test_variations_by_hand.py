"""Rooms of the same kinds as those of the scenarios in other sizes and units, reckoned by hand."""

from __future__ import annotations

from math import cos, pi, sin
from typing import Any

import pytest

from tests.strategies.asking import answered
from tests.strategies.requests import board

Request = dict[str, Any]


def trimmed(unit: str, *areas: Request, product: Request | None = None) -> Request:
    """Surfaces with a moulding alone."""
    small = {"in": 0.75, "mm": 20}[unit]
    cove = {"id": "cove", "form": "moulding", "width": small, "thickness": small,
            "stock": [{"length": 800 * small}]} | (product or {})  # fmt: skip
    layers = [{"id": "cove", "kind": "trim", "product": "cove", "inside": "mitred"}]
    usual = {"view": "facing", "supports": {"direction": 90, "spacing": 20 * small}}
    own = [{"id": f"area-{k}", "layers": layers} | usual | area for k, area in enumerate(areas)]
    return {"unit": unit, "when_blocked": "relax", "surfaces": own, "products": [cove]}


def totals(answer: Request) -> tuple[float, int, int, int]:
    rows = answer["trim_totals"]
    keys = ("length", "inside_corners", "outside_corners", "segment_joints")
    length, *corners = (sum(row[key] for row in rows) for key in keys)
    return length, *corners


def test_coffers_in_millimetres() -> None:
    """6400 x 4200 mm, beams 180 wide, two of them across and one along.

    Bays are (6400 - 360) / 3 = 2013-1/3 by (4200 - 180) / 2 = 2010, and there are 3 x 2 of them:
    6 x 2 x (2013-1/3 + 2010) = 48 280 mm of moulding with 24 inside corners. The one along,
    6400, runs through; of the others each of two sides is two pieces of 2010 between, a 1/32 in
    longer to be sprung in (16.3).
    """
    request = trimmed("mm", {"rectangle": [6400, 4200], "type": "ceiling"})
    beams = {"id": "beams", "kind": "box_beams", "product": "fir", "core": "core", "width": 180,
             "drop": 120,
             "sets": [{"direction": 90, "count": 2}, {"direction": 0, "count": 1}]}  # fmt: skip
    request["surfaces"][0]["layers"].insert(0, beams)
    request["products"] += [
        {"id": "fir", "form": "board", "profile": "square_edge", "overall": 190, "thickness": 18,
         "stock": [{"length": 3600}, {"length": 4800}]},
        {"id": "core", "form": "lumber", "width": 90, "thickness": 45, "stock": [{"length": 4800}]},
    ]  # fmt: skip
    answer = answered(request)
    length, *corners = totals(answer)
    assert (round(length, 2), corners) == (48280, [24, 0, 0])
    assert sorted({round(row["area"], 3) for row in answer["bays"]}) == [round(2.013333 * 2.01, 3)]
    sides = [row["length"] for row in answer["beam_parts"] if row["part"].endswith("side")]
    assert sorted(sides) == pytest.approx([2010 + 25.4 / 32] * 8 + [6400] * 2, abs=0.4)


T = [[60, 0], [180, 0], [180, 90], [240, 90], [240, 150], [0, 150], [0, 90], [60, 90]]


@pytest.mark.parametrize("outline", [T, [[240 - x, y] for x, y in T]], ids=["as is", "mirrored"])
def test_a_room_in_the_shape_of_a_t_and_its_mirror_image(outline: list[list[float]]) -> None:
    """2 x (240 + 150) = 780 in; 6 inside corners; at each of 2 outside ones two pieces add 2 in.

    A moulding that reaches 2 in over the ceiling adds 2 x tan 45 = 2 to either piece: 788 as cut.
    """
    answer = answered(trimmed("in", {"outline": outline, "type": "ceiling"},
                              product={"width": 2}))  # fmt: skip
    assert totals(answer) == (780, 6, 2, 0)
    assert sum(row["cut"] for row in answer["trim_lengths"]) == 788


def test_the_planes_of_a_low_vault() -> None:
    """Each plane 300 x 100 in plan at 3:12: 100 x sqrt(1 + 1/16) = 103.0776 on the slope.

    Along eaves and rakes, the ridge apart: 2 x (300 + 2 x 103.0776) = 1012.3106 with 4 corners;
    no piece runs along the ridge, where the two planes are mitred.
    """
    planes = [
        {"id": name, "rectangle": [300, 100], "type": "ceiling",
         "slope": {"rise": 3, "run": 12, "up": up}, "edges": [{"edge": ridge, "is": "mitre"}]}
        for name, up, ridge in (("south", 90, 2), ("north", 270, 0))
    ]  # fmt: skip
    length, *corners = totals(answered(trimmed("in", *planes)))
    assert length == pytest.approx(1012.3106, abs=1e-3)
    assert corners == [4, 0, 0]


def test_a_room_furred_across_its_joists() -> None:
    """168 x 120 in, joists along it at 8-1/2 and every 16: 7 of them, the last at 104-1/2.

    Straps at 8, 24 ... 152: 10 of 120 in, 1200 in, over 7 joists each: 70. Boards of 3-1/8 in over
    119-1/2 in: 38 whole ones are 118-3/4, so 37 and two of (3-1/8 + 3/4) / 2 = 1-15/16: 39
    courses, each over 10 straps: 390.
    """
    straps = {"id": "straps", "kind": "strapping", "product": "strap", "direction": 90, "first": 8,
              "rules": {"strap_spacing": 16}}  # fmt: skip
    boards = {"id": "boards", "kind": "boarding", "product": "pine", "direction": 0,
              "rules": {"gap": 0.25}}  # fmt: skip
    area = {"id": "room", "type": "ceiling", "view": "facing", "rectangle": [168, 120],
            "supports": {"direction": 0, "spacing": 16, "first": 8.5},
            "layers": [straps, boards]}  # fmt: skip
    strap = {"id": "strap", "form": "lumber", "width": 1.5, "thickness": 0.75,
             "stock": [{"length": 120}]}  # fmt: skip
    answer = answered({
        "unit": "in", "when_blocked": "relax", "surfaces": [area],
        "products": [board("14 ft", cover=3.125, overall=3.375), strap],
    })  # fmt: skip
    own = [row for row in answer["pieces"] if row["layer"] == "straps"]
    assert (len(own), sum(row["length"] for row in own)) == (10, 1200)
    assert sum(row["bearings"] for row in own) == 70
    runs = [row for row in answer["runs"] if row["layer"] == "boards"]
    assert (len(runs), sum(row["bearings"] for row in runs)) == (39, 390)


def test_a_quarter_circle_of_twelve_chords_in_millimetres() -> None:
    """R 2000: 2 x 2000 + 12 x 2 x 2000 x sin 3.75 deg = 7139.33 mm.

    Chords turn by 7.5 degrees: 11 bends between them, and 3 corners.
    """
    ring = [[2000 * cos(k * pi / 24), 2000 * sin(k * pi / 24)] for k in range(13)]
    outline = [[0, 0], *([round(x, 4), round(y, 4)] for x, y in ring)]
    length, *corners = totals(answered(trimmed("mm", {"outline": outline, "type": "floor"})))
    assert length == pytest.approx(4000 + 24 * 2000 * sin(pi / 48), abs=0.01)
    assert corners == [3, 0, 11]
