"""Joints keep from holes and steps; where they cannot, only there and no more than must be."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st

from tests.independent import bans
from tests.independent.asked import laid
from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

COVER = requests.COVER
GAP = 0.5


def near(answer: Request) -> list[Request]:
    """The findings on joints that are too near."""
    return [row for row in answer["findings"] if row["code"] == bans.SAID]


def drilled(course: int, stations: list[float], wide: float) -> list[Request]:
    """Openings in the middle of one course of a field that starts with a whole board."""
    y = GAP + (course - 0.5) * COVER - 1
    return [
        {"id": f"o{k}-{course}", "rectangle": [at - wide / 2, y, wide, 2], "cut_gap": 0}
        for k, at in enumerate(stations)
    ]


@LAW
@given(request=jobs.with_openings())
def test_every_joint_too_near_is_counted(request: Request) -> None:
    answer = answered(request)
    for layer in laid(request, answer):
        assert bans.faults(layer, answer) == []


@FEW
@given(blocked=st.integers(2, 5), other=st.integers(9, 14), at=shapes.inches(60, 240),
       wide=shapes.inches(3, 11))  # fmt: skip
def test_a_course_that_cannot_keep_off_gives_up_no_other(
    blocked: int, other: int, at: float, wide: float
) -> None:
    """One course full of openings, and a single one far from it: nothing is near that."""
    full = [24.0 * k for k in range(1, 13)]
    openings = drilled(blocked, full, 4) + drilled(other, [at], wide)
    area = requests.room(300, 90, openings=openings, layer={"start": "full_first"})
    request = requests.job(area, requests.board("8 ft", "10 ft", "12 ft"), effort="quick")
    answer = answered(request)
    (layer,) = laid(request, answer)
    assert bans.faults(layer, answer) == []
    assert near(answer)
    for row in near(answer):
        assert f"in course {blocked}" in row["text"] or "in the next course" in row["text"]
        assert f"in course {other}" not in row["text"]


@LAW
@given(moved=st.lists(shapes.inches(0, 12), min_size=9, max_size=9),
       wide=st.sampled_from([2, 4, 6]))  # fmt: skip
def test_a_ban_is_given_up_as_little_as_will_do(moved: list[float], wide: float) -> None:
    """The course by itself: the nearest joint is as far off as any set of joists allows."""
    centres = [30 * k + by for k, by in enumerate(moved, 1)]
    assume(all(b - a > wide + 1 for a, b in pairwise(centres)))
    rules = {"joint_beside_hole": 0, "stagger": 0, "repeat": 0}
    layer = {"start": "full_first", "rules": rules}
    area = requests.room(300, 90, openings=drilled(4, centres, wide), layer=layer)
    answer = answered(requests.job(area, requests.board("8 ft", "10 ft"), effort="quick"))
    holes = [(centre - wide / 2, centre + wide / 2) for centre in centres]
    best = furthest(holes, usable=120 - 1)
    said = near(answer)
    assert bool(said) == (best < 12)
    assert [row["measure"] for row in said] == [best] * len(said)


def furthest(holes: list[tuple[float, float]], usable: float) -> float:
    """How far from the holes joints on joists can all be: every joist that may start a piece."""
    clear = {at: min(max(low - at, at - high, 0) for low, high in holes)
             for at in range(16, 300, 16) if GAP + 24 <= at <= 300 - GAP - 24}  # fmt: skip

    def reached(off: float) -> bool:
        ends = {GAP}
        for at in (place for place, far in clear.items() if far >= off):
            if any(legal(end, at) for end in ends):
                ends.add(at)
        return any(legal(end, 300 - GAP) for end in ends)

    def legal(low: float, high: float) -> bool:
        joists = sum(low < at + 0.25 and high > at - 0.25 for at in range(16, 300, 16))
        return 24 <= high - low <= usable and joists >= 3

    return max(off for off in {0, *clear.values()} if reached(off))


def test_the_notched_board_is_the_last_to_give_up_its_ban() -> None:
    """Boards of 100 in over 192 meet on the joists at 93 or 99 in; one hole lies in each of two.

    In course 6 93 is 10 in off its own hole (70 to 83), 99 only 4 off the next course's (from 103):
    that is given up first (5.5). Course 7 has 93, 10 in off its own, for 99 is nearer.
    """
    own = {"id": "own", "rectangle": [70, 25.5, 13, 3], "cut_gap": 0}
    beside = {"id": "beside", "rectangle": [103, 31, 8, 1.5], "cut_gap": 0}
    behind = {"direction": 90, "at": [0.75, 50, 93, 99, 145, 191.25], "thickness": 1.5}
    rules = {"stagger": 0, "repeat": 0, "min_bearings": 1, "min_piece": 60}
    area = requests.room(192, 60, behind=behind, openings=[own, beside], rules=rules)
    answer = answered(requests.job(area, requests.board(100)))
    joints = {row["course"]: row["at"] for row in answer["joints"]}
    assert (joints[6], joints[7]) == (99, 93)
    assert sorted((row["measure"], row["limit"]) for row in near(answer)) == [(4, 6), (10, 12)]


@FEW
@given(along=shapes.inches(60, 110), long=shapes.inches(80, 180), deep=shapes.inches(20, 40))
def test_beside_a_long_step_boards_are_jointed_as_rips(
    along: float, long: float, deep: float
) -> None:
    """An L with a long step: the strip beside it has joints, and they keep from its corner."""
    y = GAP + 6 * COVER + 2.5
    points = [
        [0, 0],
        [along + long, 0],
        [along + long, y],
        [along, y],
        [along, y + deep],
        [0, y + deep],
    ]
    area = requests.outline(points, layer={"joints": "anywhere", "start": "full_first"})
    request = requests.job(area, requests.board("6 ft"), effort="quick", when_blocked="relax")
    answer = answered(request)
    (layer,) = laid(request, answer)
    assert near(answer) == []
    assert bans.faults(layer, answer) == []
    stations = [row["at"] for row in answer["joints"] if row["course"] == 7]
    corner = along - GAP
    assert all(abs(at - corner) >= 12 for at in stations)
    assert any(at > corner for at in stations)
