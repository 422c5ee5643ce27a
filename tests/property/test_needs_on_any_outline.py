"""What an irregular area needs: fasteners, packs and sums, whatever its outline.

Every run is one board from a stick of 30 ft, so that what a job needs is known before any stick is
chosen, and a course more or an area more moves no joint.
"""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import FEW

Request = dict[str, Any]

COVER = 5.125
IRREGULAR = st.one_of(shapes.ells(), shapes.tees(), shapes.skylines())
NAIL = {"id": "nail", "form": "fastener", "lengths": [1.5, 2, 2.5, 3], "shank": "ring"}
PAINT = {"id": "paint", "form": "coating", "spread": "400 ft2/gal",
         "packs": [{"holds": "1 gal"}, {"holds": "1 qt"}]}  # fmt: skip
PLY = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5, "stock": [{"length": 96}]}


def boarded(points: shapes.Points, pattern: str = "blind", multiple: int = 1) -> Request:
    """Boards on an outline, nailed and painted, their first course whole."""
    layer = {"start": "full_first", "coats": [{"product": "paint", "on": "face"}],
             "fastening": {"pattern": pattern, "product": "nail"}}  # fmt: skip
    board = requests.board({"length": "30 ft", "multiple": multiple})
    area = requests.outline(points, layer=layer, behind=requests.supports(ends=True))
    job = requests.job(area, board, NAIL | {"per_box": 90}, PAINT, when_blocked="relax")
    return requests.framed(job)


def taller(points: shapes.Points) -> shapes.Points:
    """The same outline with one course more at its foot."""
    return [[x, y + COVER if y > 0 else y] for x, y in points]


def counted(answer: Request) -> int:
    return sum(row["count"] for row in answer["fasteners"])


@FEW
@given(points=IRREGULAR, pattern=st.sampled_from(["blind", "blind_face", "face"]))
def test_a_course_more_takes_no_fewer_fasteners(points: shapes.Points, pattern: str) -> None:
    fewer, more = (answered(boarded(one, pattern)) for one in (points, taller(points)))
    assert len(more["courses"]) == len(fewer["courses"]) + 1
    assert len(more["pieces"]) > len(fewer["pieces"])
    assert counted(more) > counted(fewer)


@FEW
@given(points=IRREGULAR, edge=st.sampled_from([4, 6]), field=st.sampled_from([6, 8, 12]))
def test_nearer_fasteners_are_no_fewer(points: shapes.Points, edge: int, field: int) -> None:
    """Of sheets, at their edges and between; of boards along the members into a panel."""
    counts = []
    for near in (0, 1, 2):
        layer = {"kind": "sheathing", "product": "ply", "edges": "blocked",
                 "fastening": {"edge": edge - near, "field": field - near}}  # fmt: skip
        area = requests.outline(points, type="floor", behind=requests.supports(12, ends=True))
        area["layers"] = [layer]
        sheets = requests.job(area, PLY, rules={"panel_end_bearing": 0.5}, when_blocked="relax")
        along = boarded(points)
        along["surfaces"][0] |= {"supports": requests.supports(direction=0),
                                 "backing": {"thickness": 0.75}}  # fmt: skip
        along["rules"] |= {"panel_spacing": field - near}
        counts.append([counted(answered(one)) for one in (sheets, along)])
    assert all(first <= then for first, then in zip(counts[0], counts[1], strict=True)), counts
    assert all(first <= then for first, then in zip(counts[1], counts[2], strict=True)), counts


@FEW
@given(points=IRREGULAR, multiple=st.integers(1, 7), cull=st.sampled_from([0, 12.5]))
def test_packages_hold_the_need_and_less_than_one_more(
    points: shapes.Points, multiple: int, cull: float
) -> None:
    """No price chooses here: boards in bundles, nails in boxes, paint in cans."""
    request = boarded(points, multiple=multiple)
    request["rules"] |= {"cull": cull, "spare": 1}
    order = answered(request)["order"]
    for row in (row for row in order if row["form"] != "coating"):
        needed = row["need"] + row["cull"] + row["spare"] + row["loss"]
        assert row["buy"] == row["packages"] * row["per_package"]
        assert 0 <= row["buy"] - needed == row["left_over"] < row["per_package"]
    takes = sum(row["volume"] for row in answered(request)["liquids"])
    held = sum(row["volume"] for row in order if row["form"] == "coating")
    assert takes <= held + 1e-6
    assert held < takes + 0.25  # gallons: the smallest can is a quart


@FEW
@given(points=IRREGULAR, others=IRREGULAR)
def test_needs_of_two_areas_are_the_sum_and_are_packed_once(
    points: shapes.Points, others: shapes.Points
) -> None:
    alone = [boarded(one) for one in (points, others)]
    both = alone[0] | {"surfaces": [*alone[0]["surfaces"],
                                    alone[1]["surfaces"][0] | {"id": "hall"}]}  # fmt: skip
    together, apart = answered(both), [answered(one) for one in alone]
    for table, key in (("fasteners", "count"), ("liquids", "volume"), ("pieces", "length")):
        sums = [sum(row[key] for row in answer[table]) for answer in apart]
        assert sum(row[key] for row in together[table]) == pytest.approx(sum(sums), abs=1e-4)
    boxes = [Counter({row["product"]: row["packages"] for row in answer["order"]})
             for answer in (together, *apart)]  # fmt: skip
    assert all(count <= (boxes[1] + boxes[2])[name] for name, count in boxes[0].items())


@FEW
@given(points=IRREGULAR, now=st.integers(6, 14), air=st.integers(6, 14))
def test_boards_move_as_many_times_one_as_there_are_across(
    points: shapes.Points, now: int, air: int
) -> None:
    """Nothing at rest, as much the other way back, and over all the share of the width."""
    rows = []
    for first, last in ((now, air), (air, now), (now, now)):
        moisture = {"air": [{"id": "room", "mc": last}],
                    "boards": [{"product": "pine", "coefficient": 0.002, "mc": first}]}  # fmt: skip
        (row,) = answered(boarded(points) | {"moisture": moisture})["moisture"]
        rows.append(row)
        for way in ("swells", "shrinks"):
            assert row[f"{way}_over_all"] == pytest.approx(row[way] * row["over"] / COVER, abs=1e-4)
    assert (rows[0]["swells"], rows[0]["shrinks"]) == (rows[1]["shrinks"], rows[1]["swells"])
    assert rows[2]["swells"] == rows[2]["shrinks"] == 0
