"""Board ends at a round opening, square where its ring covers the rest; chords by hand (5.3).

Boards of 5-1/8 in cover on 192 x 144 in, gap 1/2 in: joints at 5.375 + k x 5.125.
"""

from __future__ import annotations

from math import sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import tiling, verifier
from tests.strategies import requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import FEW

Request = dict[str, Any]


def room(*openings: Request) -> Request:
    return requests.job(requests.room(192, 144, openings=list(openings)))


def lamp(x: float, y: float, diameter: float, flange: float) -> Request:
    return {"id": "lamp", "circle": [x, y, diameter], "flange": flange}


def ends(answer: Request, course: int) -> tuple[float, float]:
    """Where the two runs of a course end at the opening."""
    low, high = sorted(
        (run for run in answer["runs"] if run["course"] == course), key=lambda run: run["from"]
    )
    return low["to"], high["from"]


def said(answer: Request) -> list[Request]:
    return [row for row in answer["findings"] if row["code"] == "ends-square"]


def test_ends_are_square_where_the_ring_covers_the_arc() -> None:
    """A circle of 24 in at 96, 60.5, R = 12; a ring of 3 in laps 3/8 in and 2-5/8 in more.

    Course 12 (56.625 to 61.75) holds the centre: half-chords 12 and sqrt(144 - 3.875^2) = 11.357,
    0.643 apart: square at 96 -+ 12. Course 13 (61.75 to 66.875): h 1.25 and 6.375, half-chords
    11.935 and 10.167, 1.768 apart: square at 96 -+ 11.935. Courses 11 (h 3.875 and 9) and 14 (h
    6.375 and 11.5): 11.357 - 7.937 = 3.42 and 10.167 - 3.428 = 6.739, over 2.625: cut to the arc,
    long points at the smaller half-chord.
    """
    answer = answered(room(lamp(96, 60.5, 24, 3)))
    for course, half in ((12, 12), (13, 11.935), (11, 7.937), (14, 3.428)):
        assert ends(answer, course) == pytest.approx((96 - half, 96 + half), abs=0.01)
    (row,) = said(answer)
    assert row["text"].startswith("4 board ends at opening lamp are cut square")
    assert (row["at"], row["measure"]) == ("loft.lamp", pytest.approx(1.768, abs=0.01))
    shaped = {row["course"] for row in answer["pieces"] if row["shape"]}
    assert {11, 14} <= shaped
    assert not {12, 13} & shaped


def test_a_ring_that_laps_too_little_leaves_the_arc() -> None:
    """A ring of 1 in has 5/8 in to spare, and the straightest end goes 0.643 in along."""
    answer = answered(room(lamp(96, 60.5, 24, 1)))
    assert said(answer) == []
    assert ends(answer, 12) == pytest.approx((96 - 11.357, 96 + 11.357), abs=0.01)


@FEW
@given(y=shapes.inches(40, 100), diameter=shapes.inches(12, 50), flange=st.sampled_from([1, 2, 4]))
def test_every_end_at_a_circle_is_at_one_of_its_chords(
    y: float, diameter: float, flange: float
) -> None:
    """By the formula of each course; what is left is tiled, jointed and cut as any other."""
    request = room(lamp(96, y, diameter, flange))
    answer, radius = answered(request), diameter / 2
    assert tiling.faults(request, answer) == []
    assert verifier.faults(request, answer) == []
    for row in answer["courses"]:
        near, far = sorted((row["near"], row["far"]))
        away = max(abs(near - y), abs(far - y))
        if away >= radius:
            continue
        nearest = 0 if near <= y <= far else min(abs(near - y), abs(far - y))
        wide, slim = (sqrt(radius**2 - h**2) for h in (nearest, away))
        if abs(wide - slim - (flange - 0.375)) < 0.02 * radius:
            continue
        half = wide if wide - slim <= flange - 0.375 else slim
        assert ends(answer, row["course"]) == pytest.approx((96 - half, 96 + half), abs=0.1)
