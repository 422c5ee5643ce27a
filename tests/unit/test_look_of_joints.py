"""Joints that catch the eye, and rips that could come off one board. Common practice."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from tests.strategies import requests
from tests.strategies.asking import answered

Request = dict[str, Any]


def said(answer: Request, code: str) -> list[Request]:
    return [row for row in answer["findings"] if row["code"] == code]


def joints(answer: Request) -> dict[int, list[float]]:
    """Stations of the joints, course by course."""
    found: dict[int, list[float]] = {}
    for row in answer["joints"]:
        found.setdefault(row["course"], []).append(row["at"])
    return found


def stairs(answer: Request) -> list[tuple[int, float]]:
    """Where three steps to the nearest joint of the next course are equal, each way, by trying."""
    by_course, found = joints(answer), set()
    for way in (1, -1):
        for course, own in by_course.items():
            for first in own:
                stair = [first]
                for k in (1, 2, 3):
                    on = [at for at in by_course.get(course + k, []) if (at - stair[-1]) * way > 0]
                    if on:
                        stair.append(min(on, key=lambda at: abs(at - stair[-1])))
                steps = [abs(b - a) for a, b in pairwise(stair)]
                if len(steps) == 3 and max(steps) - min(steps) <= 2:
                    found.add((course, first))
    return sorted(found)


ROOMS = [
    (192, 144, 16), (300, 100, 16), (400, 144, 24), (365, 200, 12), (240, 90, 19.2),
    (384, 120, 16),
]  # fmt: skip


def in_room(length: int, width: int, spacing: float, joint_cost: int) -> dict[str, Any]:
    """The boards of a room; with joints for nothing there are many, and more of them in line."""
    area = requests.room(length, width, behind=requests.supports(spacing))
    board = requests.board("8 ft", "12 ft", "16 ft")
    return answered(requests.job(area, board, rules={"joint_cost": joint_cost}))


@pytest.mark.parametrize("joint_cost", [0, 36])
@pytest.mark.parametrize(("length", "width", "spacing"), ROOMS)
def test_staircases_are_counted_in_one_finding(
    length: int, width: int, spacing: float, joint_cost: int
) -> None:
    answer = in_room(length, width, spacing, joint_cost)
    found, expected = said(answer, "staircase"), stairs(answer)
    assert len(found) == bool(expected)
    if expected:
        assert f" {len(expected)} time" in found[0]["text"]
        assert found[0]["measure"] == pytest.approx(expected[0][1])
        assert f"course {expected[0][0]} " in found[0]["text"]


def test_some_room_has_a_staircase_and_some_has_none() -> None:
    """So that the test above sees both."""
    answers = [in_room(*room, joint_cost) for room in ROOMS for joint_cost in (0, 36)]
    assert {bool(said(answer, "staircase")) for answer in answers} == {True, False}


@pytest.mark.parametrize("repeat", [0, 6])
def test_joints_that_come_back_after_one_course_are_counted(repeat: int) -> None:
    """Within 6 in of a joint two courses on; the rule `repeat` keeps them apart unless lowered."""
    area = requests.room(400, 100, rules={"repeat": repeat})
    answer = answered(requests.job(area, requests.board("10 ft", "14 ft")))
    by_course = joints(answer)
    pairs = sum(
        abs(one - other) < 6
        for course, own in by_course.items()
        for one in own
        for other in by_course.get(course + 2, [])
    )
    found = said(answer, "h-joint")
    assert bool(found) == bool(pairs) == (repeat == 0)
    if found:
        assert found[0]["text"].startswith(f"{pairs} times")
        assert found[0]["limit"] == 6
