"""Windows over all courses, where members lie a little otherwise in each: none that is legal breaks
one, and what they prove is no more than the least cost.

Boards that run out of square to their members meet each a little farther on in every course.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from unittest import mock

from hypothesis import assume, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.joints import master, windows
from service.joints.bounds import least_of_all, master_of
from service.joints.job import Pool, prepared
from service.joints.records import Jointed, JointRules, JointRun, Places
from service.joints.side_by_side import broken
from service.joints.solve import place_joints
from service.joints.windows import windows_of
from service.layout.bearings import BearingLine
from service.solver.programme import Solved
from tests.independent import brute
from tests.property.test_courses_side_by_side import programme as every_layout
from tests.strategies.budget import examples

SPACING, LEAST, KERF, LONGEST = 16, 24, 1, 100
STANDARD = EFFORTS["standard"]
STOCKS = (Stock("0", 84, 84, 84), Stock("1", LONGEST, LONGEST, 104))
STICKS = tuple(brute.Stick(stock.usable, stock.cost) for stock in STOCKS)

Courses = list[tuple[int, int]]
"""Length of each course, and how far its members lie from those of a square room."""


@contextmanager
def many_stations(most: int = windows.MOST_WINDOWS) -> Iterator[None]:
    """As if every stack had too many stations to look at all windows."""
    with (
        mock.patch.object(windows, "MOST_STATIONS", 0),
        mock.patch.object(windows, "MOST_WINDOWS", most),
    ):
        yield


def places_of(length: int, off: int) -> tuple[int, ...]:
    return tuple(range(SPACING + off, length - LEAST + 1, SPACING))[1:]


def pool_of(layers: list[Courses], limits: brute.Limits) -> Pool:
    line = BearingLine((), (), 1)
    rules = JointRules(
        Places.FRAMING, LEAST, 0, limits.stagger, limits.repeat, 1, 1, end_matched=False
    )
    runs = [
        JointRun(number, 1 + k, 0, length, places_of(length, off), line, f"{number}.{k}")
        for number, courses in enumerate(layers)
        for k, (length, off) in enumerate(courses)
    ]
    return Pool(tuple(runs), (rules,) * len(layers), STOCKS, KERF)


def brute_runs(courses: Courses) -> list[brute.Run]:
    return [brute.Run(0, length, places_of(length, off)) for length, off in courses]


def courses_of(most: int) -> st.SearchStrategy[Courses]:
    course = st.tuples(st.integers(130, 175), st.integers(-3, 3))
    return st.lists(course, min_size=3, max_size=most)


STAGGER, REPEAT = st.sampled_from([16, 18, 24]), st.sampled_from([0, 1, 6, 20])


def limits_of(stagger: int, repeat: int) -> brute.Limits:
    return brute.Limits(LONGEST, LEAST, 0, stagger, repeat, (), 1)


@examples(48)
@given(courses=courses_of(4), stagger=STAGGER, repeat=REPEAT, most=st.sampled_from([3, 1500]))
def test_no_legal_layout_breaks_a_window(
    courses: Courses, stagger: int, repeat: int, most: int
) -> None:
    limits = limits_of(stagger, repeat)
    stack = prepared(pool_of([courses], limits)).stacks[0]
    with many_stations(most):
        found = windows_of(stack)
    assert 0 < len(found) <= most
    for layout in brute.layouts(brute_runs(courses), limits):
        joints = sorted(stack.stations.index(at) for own in layout for at in own)
        for inside, room in found:
            assert sum(at in inside for at in joints) <= room


@examples(24)
@given(courses=courses_of(4), stagger=STAGGER, repeat=REPEAT)
def test_no_legal_layout_breaks_one_of_few_courses(
    courses: Courses, stagger: int, repeat: int
) -> None:
    """Every window of two or three courses that any shares of layouts could break."""
    limits = limits_of(stagger, repeat)
    job, programme = every_layout(pool_of([courses], limits))
    columns = len(programme.cutting.programme.columns)
    found = broken(job, programme, Solved(0.0, (1.0,) * columns, ()))
    stack = job.stacks[0]
    numbers: dict[int, list[int]] = defaultdict(list)
    for k in stack.jointed:
        numbers[id(programme.group_of[0, k])].append(k)
    bits = {at: 1 << k for k, at in enumerate(stack.stations)}
    for layout in brute.layouts(brute_runs(courses), limits):
        masks = [sum(bits[at] for at in joints) for joints in layout]
        for window in found:
            joints = [masks[k] & mask for group, mask in window.inside for k in numbers[id(group)]]
            assert sum(map(int.bit_count, joints)) <= window.most


@examples(24)
@given(courses=courses_of(3), stagger=STAGGER, repeat=REPEAT)
def test_what_they_prove_is_no_more_than_the_least_cost(
    courses: Courses, stagger: int, repeat: int
) -> None:
    """However the courses are told: also from the last to the first, and two layers of them."""
    limits = limits_of(stagger, repeat)
    assume(brute.any_layout(brute_runs(courses), limits))
    best = brute.least_cost(brute_runs(courses), limits, STICKS, KERF)
    assert best is not None
    with many_stations():
        once, turned, twice = (
            least_of_all(pool_of(layers, limits), STANDARD, 10**9)
            for layers in ([courses], [courses[::-1]], [courses, courses])
        )
        made = place_joints(pool_of([courses], limits), STANDARD)
    assert max(once, turned) <= best
    assert once <= twice <= 2 * best
    assert isinstance(made, Jointed)
    assert made.plan.bound <= best <= made.plan.cost


def test_they_raise_the_bound_where_members_lie_a_little_otherwise() -> None:
    """Eight courses of 175: without windows each may have its joint where that is cheapest."""
    job = prepared(pool_of([[(175, k) for k in range(8)]], limits_of(24, 6)))
    with mock.patch.object(master, "windows_of", return_value=[]):
        bare = master_of(job).run(50)[1]
    with many_stations():
        assert master_of(job).run(50)[1] > bare
