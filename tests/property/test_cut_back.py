"""Courses are cut back where least is lost, apart from each other and from what stays (21.4)."""

from __future__ import annotations

from itertools import pairwise, product

from hypothesis import given
from hypothesis import strategies as st

from service.layout.cut_back import parts_that_stay
from service.layout.cut_wider import cut_back
from service.layout.pieces_up import Opened, Seats, Up
from tests.independent.measure import INCH
from tests.strategies.budget import LAW

COURSES, STATIONS, LONG = 4, range(16, 200, 16), 200
OFF, LEAST = 6, 24

spans = st.tuples(st.integers(60, 110), st.integers(4, 40))


def lost_by_trying(
    opened: dict[int, tuple[int, int]], joints: dict[int, list[int]], stagger: int, repeat: int
) -> int:
    """The least that is lost, of all ways to cut every course at any bearing or not at all."""

    def near(course: int, at: int, other: int, there: int) -> bool:
        return abs(at - there) < {1: stagger, 2: repeat}.get(abs(course - other), 0)

    def sides(course: int) -> list[tuple[int, int]]:
        low, high = opened[course]
        free = [
            at
            for at in STATIONS
            if not any(
                near(course, at, other, there) for other, own in joints.items() for there in own
            )
        ]
        lefts = [at for at in free if at <= low - OFF and at >= LEAST]
        rights = [at for at in free if at >= high + OFF and LONG - at >= LEAST]
        return list(product([*lefts, 0], [*rights, LONG]))

    best = 10**9
    courses = sorted(opened)
    for way in product(*(sides(course) for course in courses)):
        cuts = [(course, at) for course, own in zip(courses, way, strict=True)
                for at in own if 0 < at < LONG]  # fmt: skip
        if any(near(a, at, b, there) for a, at in cuts for b, there in cuts):
            continue
        ends = zip(courses, way, strict=True)
        best = min(best, sum(opened[course][0] - low + high - opened[course][1]
                             for course, (low, high) in ends))  # fmt: skip
    return best


@given(
    st.lists(spans, min_size=COURSES - 1, max_size=COURSES - 1),
    st.dictionaries(st.sampled_from([0, COURSES]), st.sampled_from(STATIONS), max_size=2),
    st.sampled_from([(24, 6), (32, 0), (16, 24)]),
)
@LAW
def test_of_all_ways_to_cut_courses_back_least_is_lost(
    holes: list[tuple[int, int]], beside: dict[int, int], apart: tuple[int, int]
) -> None:
    opened = {k: (low, low + wide) for k, (low, wide) in enumerate(holes, 1)}
    joints = {course: [at] for course, at in beside.items()}
    found = parts_that_stay(
        [Up(str(course), course, 0, LONG) for course in opened],
        {str(course): Opened(*span, OFF) for course, span in opened.items()},
        joints, Seats(lambda _: STATIONS, LEAST, *apart),
    )  # fmt: skip
    cuts = {
        int(name): (
            next((high for low, high in parts if low == 0), 0),
            next((low for low, high in parts if high == LONG), LONG),
        )
        for name, parts in found.items()
    }
    lost = sum(opened[k][0] - low + high - opened[k][1] for k, (low, high) in cuts.items())
    assert lost == lost_by_trying(opened, joints, *apart)


def test_a_joint_beside_what_nothing_else_fills_is_given_up() -> None:
    """A hole from 76 to 108 in the second of three courses of 200 is closed; boards come to 120.

    Joints keep 24 from those of the next course and 6 from those of the next but one. At 64 and 144
    in the first course and at 32 and 112 in the third they leave no joist for one but that at
    176: from 0 to 176 is too long for one board, and no joint can be between. With the joint at 112
    given up the second course is made anew from 0 to 112, which takes 76 and 4 of what is up, and
    the third from 80, 32 from 112, to 160, for 128 is 16 from 112 and 144 is in line with a joint
    of the first: 32 and 48. That is 160; to give up 64 would take 12 + 68 and 64 + 32, 176, and
    neither 32 nor 144 would be enough.
    """
    ends = {1: (0, 64, 144, 200), 3: (0, 32, 112, 200)}
    ups = [up(f"{course}.{low}", course, low, high) for course, own in ends.items()
           for low, high in pairwise(own)]  # fmt: skip
    ups += [up("low", 2, 0, 76), up("high", 2, 108, 200)]
    seats = Seats(lambda _: [at * INCH for at in STATIONS], LEAST * INCH, 24 * INCH, 6 * INCH,
                  lambda _: [(0, LONG * INCH)], 120 * INCH)  # fmt: skip
    opened = {name: Opened(at * INCH, at * INCH, 0) for name, at in (("low", 76), ("high", 108))}
    found = cut_back(ups, opened, seats, 1)
    left = {name: [(low // INCH, high // INCH) for low, high in own] for name, own in found.items()}
    assert left == {
        "low": [], "high": [(112, 200)], "3.32": [(32, 80)], "3.112": [(160, 200)]
    }  # fmt: skip


def up(name: str, course: int, low: int, high: int) -> Up:
    return Up(name, course, low * INCH, high * INCH)
