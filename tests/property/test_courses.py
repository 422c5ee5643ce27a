"""Courses: faces, open joints and edge gaps add up to the width, by the rules of each start."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import reader
from tests.independent.asked import Layer, laid, layers, rows
from tests.independent.measure import INCH, slack, ticks
from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered, asked, refused
from tests.strategies.budget import LAW

Request = dict[str, Any]


def course_spans(layer: Layer, answer: Request) -> list[tuple[int, int]]:
    """Low and high station of each course, in order of station."""
    spans = []
    for row in rows(answer, "courses", layer):
        low, high = sorted((ticks(row["near"], layer.unit), ticks(row["far"], layer.unit)))
        assert abs(ticks(row["width"], layer.unit) - (high - low)) <= 3 * slack(layer.unit)
        spans.append((low, high))
    return sorted(spans)


def check_sum(layer: Layer, answer: Request) -> None:
    """Course after course with its open joint between, from gap to gap."""
    spans, give = course_spans(layer, answer), 2 * slack(layer.unit)
    assert spans[0][0] >= layer.rule("gap") - give
    for (_, far), (near, _) in pairwise(spans):
        assert abs(near - far - layer.spacer) <= give
    wide = layer.outline.bounds[3]
    assert spans[-1][1] <= wide - layer.rule("gap") + give


@LAW
@given(request=jobs.jobs())
def test_faces_joints_and_gaps_add_up_to_the_width(request: Request) -> None:
    """No overlap and no gap but the open joint, over any outline."""
    answer = answered(request)
    for layer in laid(request, answer):
        check_sum(layer, answer)
        numbers = [row["course"] for row in rows(answer, "courses", layer)]
        assert numbers == list(range(1, len(numbers) + 1))


@LAW
@given(
    width=shapes.inches(12, 200),
    size=st.sampled_from(jobs.SIZES),
    start=st.sampled_from(["balanced", "full_first", "balanced_narrow"]),
    spacer=st.sampled_from([0, 0, 0.0625]),
    side=st.sampled_from(["low", "high"]),
)
def test_widths_are_those_of_the_start(
    width: float, size: tuple[float, float], start: str, spacer: float, side: str
) -> None:
    """Full, balanced wide or balanced narrow over a rectangle, exactly, open joints included."""
    layer_keys = {"start": start, "spacer": spacer, "start_side": side}
    area = requests.room(90, width, layer=layer_keys, rules={"min_rip": 0})
    product = requests.board("8 ft", cover=size[0], overall=size[1])
    request = requests.job(area, product, when_blocked="relax")
    (layer,) = layers(request)
    net = ticks(width, "in") - INCH
    full, rest = divmod(net + layer.spacer, layer.coverage + layer.spacer)
    if start == "balanced_narrow" and (rest - layer.spacer <= INCH // 32 or not full):
        return
    found = [ticks(row["width"], "in") for row in rows(answered(request), "courses", layer)]
    expected = reader.course_widths(layer, net)
    assert len(found) == len(expected)
    assert all(abs(a - b) <= 3 for a, b in zip(found, expected, strict=True)), (found, expected)


@LAW
@given(sixteenths=st.integers(16, 160), count=st.integers(1, 60))
def test_a_room_of_whole_courses_has_no_rip(sixteenths: int, count: int) -> None:
    """Any width on the grid of 1/16 in, exactly n boards wide: n courses, all full.

    The last one may have to lose its tongue to get in (rule 3.11); its face stays whole.
    """
    cover = sixteenths / 16
    area = requests.room(90, cover * count + 1)
    product = requests.board("8 ft", cover=cover, overall=cover + 0.25)
    courses = answered(requests.job(area, product))["courses"]
    assert len(courses) == count
    assert {row["rip"] for row in courses[:-1]} <= {"none"}
    assert courses[-1]["rip"] in {"none", "tongue"}
    assert all(row["width"] == pytest.approx(cover, abs=3e-6) for row in courses)


@LAW
@given(height=shapes.inches(30, 140), most=st.sampled_from([4.0, 6.25, 8.0]))
def test_lapped_courses_are_equal(height: float, most: float) -> None:
    """Equal exposures, as few as keep within the exposure allowed."""
    product = requests.board("8 ft", cover=most, overall=most + 1.25, profile="lapped")
    area = requests.room(90, height, type="wall")
    courses = answered(requests.job(area, product))["courses"]
    net = height - 1
    assert len(courses) == -(-net // most)
    assert all(row["width"] == pytest.approx(net / len(courses), abs=4e-6) for row in courses)


@LAW
@given(width=shapes.inches(40, 160), at=shapes.inches(12, 28),
       on=st.sampled_from(["joint", "centre"]))  # fmt: skip
def test_an_aim_is_met(width: float, at: float, on: str) -> None:
    """One feature can always be met: a joint, or a board's centre, lies on it within 1/8 in.

    With square-edged boards: no groove then forbids a narrow rip.
    """
    area = requests.room(90, width, layer={"aim": [{"at": at, "on": on}]}, rules={"min_rip": 0})
    plain = requests.board("8 ft", overall=5.125, profile="square_edge")
    request = requests.job(area, plain, when_blocked="relax")
    (layer,) = layers(request)
    answer = answered(request)
    check_sum(layer, answer)
    spans = course_spans(layer, answer)
    full = [span for span in spans if abs(span[1] - span[0] - layer.coverage) <= 4]
    edges = [edge for span in spans for edge in span]
    marks = edges if on == "joint" else [(low + high) // 2 for low, high in full]
    assert min(abs(mark - ticks(at, "in")) for mark in marks) <= INCH // 8 + 4


@LAW
@given(width=shapes.inches(40, 160), at=shapes.inches(12, 28), depth=shapes.inches(0.25, 1))
def test_no_rip_is_narrower_than_its_groove_needs(width: float, at: float, depth: float) -> None:
    """Common practice: behind a groove stands 1/2 in of wood at least, whatever `min_rip` says.

    Where no start and no aim keeps that, the job is refused, and says so.
    """
    area = requests.room(90, width, layer={"aim": [{"at": at, "on": "joint"}]},
                         rules={"min_rip": 0})  # fmt: skip
    request = requests.job(area, requests.board("8 ft", groove_depth=depth))
    if asked(request).kind != "answer":
        _, (fault,) = refused(request)
        assert (fault["code"], fault["limit"]) == ("rip-too-small", pytest.approx(depth + 0.5))
        return
    rips = [row["width"] for row in answered(request)["courses"] if row["rip"] != "none"]
    assert min(rips, default=5.125) >= depth + 0.5 - 1e-5


def test_two_features_share_what_both_miss() -> None:
    """Joints wanted at 40 and 91.3 are 51.3 apart, ten boards 51.25: each is 0.025 off (3.7).

    (40.025 - 1/2) less 7 boards is 3.65; 121 - 3.65 - 22 x 5.125 = 4.6. At 40.05 and 91.3 the
    smallest rip would be 3.675.
    """
    area = requests.room(90, 122, layer={"aim": [{"at": at, "on": "joint"} for at in (40, 91.3)]})
    found = [row["width"] for row in answered(requests.job(area))["courses"]]
    assert (len(found), found[0], found[-1]) == (24, pytest.approx(3.65), pytest.approx(4.6))


def test_alternatives_are_ranked_and_one_is_chosen() -> None:
    """Each way is named once, the chosen one is the one that is laid."""
    answer = answered(requests.job(requests.room(192, 144)))
    ways = answer["alternatives"]
    assert [row["rank"] for row in ways] == list(range(1, len(ways) + 1))
    (chosen,) = [row for row in ways if row["chosen"]]
    assert chosen["courses"] == len(answer["courses"])
    assert chosen["first"] == answer["courses"][0]["width"]
    assert chosen["last"] == answer["courses"][-1]["width"]
