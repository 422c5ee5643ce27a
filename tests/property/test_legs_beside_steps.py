"""Legs beside holes with steps are told where they are narrowest, and moved by the least (5.2)."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from tests.strategies import requests, shapes
from tests.strategies.asking import answered, asked
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

LEAST = 0.75
"""The narrowest leg; the groove of a board with a tongue of 1/4 in asks for no more."""

NEAR = 0.005
"""What printed digits and snapping leave open, in."""


@st.composite
def stairs(draw: st.DrawFn) -> Request:
    """A hole of two or three boxes beside each other, each up or down from the one before."""
    x, low, high = 40.0, draw(shapes.inches(20, 40)), 70.0
    boxes = []
    for _ in range(draw(st.sampled_from([2, 2, 3]))):
        step = draw(shapes.inches(4, 20))
        boxes.append(box(x, low, x + step, high))
        x += step
        low += draw(shapes.inches(-6, 6))
        high += draw(shapes.inches(-6, 6))
    ring = [list(at) for at in unary_union(boxes).exterior.coords[:-1]]
    hole = {"id": "well", "outline": ring, "cut_gap": 0}
    return requests.job(requests.room(192, 120, openings=[hole]), when_blocked="relax")


def narrowest(hole: Polygon, low: float, high: float) -> float | None:
    """The narrowest leg that a hole of level and upright edges leaves of a course; None if none.

    Looked for along lines across the course, between all corners of the hole.
    """
    marks = sorted({x for x, _ in hole.exterior.coords})
    found = []
    for a, b in pairwise(marks):
        line = LineString([((a + b) / 2, low), ((a + b) / 2, high)])
        met = line.intersection(hole)
        if met.length > 3 / 64:
            _, first, _, last = met.bounds
            found += [first - low, high - last]
    return min((one for one in found if one > 3.5 / 64), default=None)


@LAW
@given(request=stairs())
def test_a_leg_is_told_where_it_is_narrowest(request: Request) -> None:
    """Along the steps of a hole, also where another step reaches the edge of the course."""
    answer = answered(request)
    hole = Polygon(request["surfaces"][0]["openings"][0]["outline"])
    said = {row["at"]: row["measure"] for row in answer["findings"] if row["code"] == "leg-frail"}
    for course in answer["courses"]:
        low, high = sorted((course["near"], course["far"]))
        leg = narrowest(hole, low, high)
        name = f"loft.boards.{course['course']}"
        if leg is not None and leg < LEAST - NEAR:
            assert said.pop(name, None) == pytest.approx(leg, abs=NEAR)
        elif leg is not None and leg < LEAST + NEAR:
            said.pop(name, None)
    assert not said


def test_a_leg_under_a_step_that_another_part_reaches_past() -> None:
    """Courses begin at 25.875 in: the hole cuts one in two, and leaves 1/2 in of it beyond."""
    ring = [[60, 20], [66, 20], [66, 26.375], [80, 26.375], [80, 44], [60, 44]]
    hole = {"id": "well", "outline": ring, "cut_gap": 0}
    request = requests.job(requests.room(192, 144, openings=[hole]))
    rows = [row for row in answered(request)["findings"] if row["code"] == "leg-frail"]
    assert [(row["at"], row["measure"]) for row in rows] == [("loft.boards.6", 0.5)]


def test_a_curve_or_a_slant_that_runs_through_a_course_leaves_no_leg() -> None:
    """A point of the board between the curve and the joint is no leg."""
    for shape in ({"circle": [96, 60, 40]}, {"outline": [[60, 22], [100, 60], [60, 60]]}):
        request = requests.job(requests.room(192, 144, openings=[{"id": "well", **shape}]))
        rows = [row for row in answered(request)["findings"] if row["code"] == "leg-frail"]
        assert all(row["measure"] > 3 / 64 for row in rows)
        assert len(rows) <= 2


@FEW
@given(at=shapes.inches(25.9, 26.6), deep=shapes.inches(14, 30), flange=st.sampled_from([0, 1]))
def test_the_shift_that_cures_is_the_nearest(at: float, deep: float, flange: float) -> None:
    """A joint at any mark of the tape that is nearer leaves a narrow leg or a rip too narrow."""
    hole = {"id": "slot", "rectangle": [60, at, 14, deep], "cut_gap": 0, "flange": flange}
    request = requests.job(requests.room(192, 144, openings=[hole]))
    rows = [row for row in answered(request)["findings"] if row["code"] == "leg-frail"]
    cures = [row["cure"] for row in rows if row["cure"]]
    if not cures:
        return
    (mark,) = cures[0][0]["value"]
    joints = [0.5 + 4.875 + 5.125 * k for k in range(27)]
    beside = min(joints, key=lambda joint: abs(joint - mark["at"]))
    off = abs(mark["at"] - beside)
    sixteenths = range(round((beside - off) * 16) + 1, round((beside + off) * 16))
    for k in sixteenths:
        if abs(k / 16 - beside) < off - 1e-6:
            nearer = requests.changed(
                request, "/surfaces/0/layers/0/aim", [{"at": k / 16, "on": "joint"}]
            )
            found = asked(nearer)
            codes = found.body.decode()
            assert found.kind != "answer" or "leg-frail" in codes
