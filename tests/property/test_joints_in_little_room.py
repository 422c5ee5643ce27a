"""Equal courses of which the longest sticks leave little: few of them have the fewest joints."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.records import Stock
from service.joints.job import Pool, prepared
from service.joints.material import with_one_more
from service.joints.records import JointRules, JointRun, Places
from service.layout.bearings import BearingLine
from tests.independent import brute
from tests.strategies import requests
from tests.strategies.asking import answered
from tests.strategies.budget import examples

LONGEST, LEAST = 12, 3


def pool_of(length: int, courses: list[int], stagger: int, repeat: int) -> Pool:
    """Equal runs with joints anywhere, at some courses of a surface."""
    rules = JointRules(Places.ANYWHERE, LEAST, 0, stagger, repeat, 1, 1, end_matched=False)
    line, places = BearingLine((), (), 0), tuple(range(LEAST, length - LEAST + 1))
    runs = tuple(JointRun(0, course, 0, length, places, line, str(course)) for course in courses)
    return Pool(runs, (rules,), (Stock("0", LONGEST, LONGEST, 1),), 0, 1)


def most_with(joints: int, length: int, courses: list[int], limits: brute.Limits) -> int:
    """How many courses can have so few joints, by trying: the others have none in their way."""
    run = brute.Run(0, length, tuple(range(1, length)))
    few = [own for own in brute.joint_sets(run, limits) if len(own) == joints]
    states: dict[tuple[brute.Joints, brute.Joints], int] = {((), ()): 0}
    for course in range(min(courses), max(courses) + 1):
        grown: dict[tuple[brute.Joints, brute.Joints], int] = {}
        for (before, last), many in states.items():
            for own in [(), *(few if course in courses else [])]:
                if brute.apart(last, own, limits.stagger) and brute.apart(
                    before, own, limits.repeat
                ):
                    grown[last, own] = max(grown.get((last, own), 0), many + bool(own))
        states = grown
    return max(states.values())


@examples(120)
@given(
    length=st.integers(13, 36), courses=st.sets(st.integers(1, 8), min_size=1, max_size=7),
    stagger=st.integers(1, 8), repeat=st.integers(0, 6),
)  # fmt: skip
def test_no_more_courses_have_the_fewest_joints_than_can(
    length: int, courses: set[int], stagger: int, repeat: int
) -> None:
    """Over every place of their joints, whatever the courses between them do."""
    order = sorted(courses)
    pool = pool_of(length, order, stagger, repeat)
    stack = prepared(pool).stacks[0]
    more = with_one_more(stack, pool.stocks)
    limits = brute.Limits(LONGEST, LEAST, 0, stagger, repeat, (), 1)
    assert len(more) <= len(order) - most_with(-(-length // LONGEST) - 1, length, order, limits)


@pytest.mark.parametrize("turned", [False, True])
def test_a_room_of_two_longest_sticks_by_hand(turned: bool) -> None:
    """Twelve courses of 334 in off 14 ft sticks at 21.00, a joint at 1.50 a foot for 36 in: 4.50.

    Two sticks are 336 in: with one joint it lies at 166 to 168 in. So of three courses one has one
    joint, 46.50, and two have two, 51.00 off two sticks: 4 x 46.50 + 8 x 51.00 = 594.00.
    """
    size = (60, 335) if turned else (335, 60)
    layer = {"joints": "anywhere", "direction": 90 if turned else 0}
    area = requests.room(*size, layer=layer, backing={"thickness": 0.5})
    board = requests.board({"length": "14 ft", "price": "21.00"})
    (plan,) = answered(requests.job(area, board))["cut_plans"]
    assert (plan["bound"], plan["cost"], plan["optimal"]) == (594, 594, True)
