"""Whole numbers of sticks and joints: the bound that they give, against trying every layout."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.joints import solve, whole_sticks
from service.joints.bounds import Bounds, in_whole_sticks, master_of, with_flows
from service.joints.job import Pool, prepared
from service.joints.records import Jointed, JointRules, JointRun, Places
from service.joints.solve import place_joints
from service.layout.bearings import BearingLine
from tests.benchmark.cutting import drawn_courses
from tests.independent import brute
from tests.property.test_windows import (
    KERF,
    REPEAT,
    STAGGER,
    STICKS,
    Courses,
    brute_runs,
    courses_of,
    limits_of,
    pool_of,
)
from tests.strategies.budget import examples

STANDARD = EFFORTS["standard"]


def raised(pool: Pool, under: int, *, flowing: bool = False) -> int:
    """The bound that whole sticks give, from nothing up to so much."""
    job = prepared(pool)
    master = master_of(job)
    solved, _ = master.run(60)
    flows = with_flows(job, master, STANDARD, solved, Bounds(0, 0))[1] if flowing else {}
    return in_whole_sticks(job, master, 200, flows, range(under))


def least(courses: Courses, limits: brute.Limits, joint_cost: int) -> int | None:
    """The least cost of all sticks and joints, by trying every layout."""
    runs = brute_runs(courses)
    return min(
        (
            brute.cheapest_cutting(
                tuple(
                    sorted(
                        piece
                        for run, own in zip(runs, layout, strict=True)
                        for piece in brute.pieces_of(run, own)
                    )
                ),
                STICKS,
                KERF,
            )
            + joint_cost * sum(map(len, layout))
            for layout in brute.layouts(runs, limits)
        ),
        default=None,
    )


EQUAL = st.builds(lambda length, count: [(length, 0)] * count, st.integers(130, 175), st.just(3))


@examples(16)
@given(
    courses=courses_of(3) | EQUAL, stagger=STAGGER, repeat=REPEAT,
    joint_cost=st.sampled_from([0, 5, 40]),
)  # fmt: skip
def test_whole_sticks_show_no_more_than_the_least_cost(
    courses: Courses, stagger: int, repeat: int, joint_cost: int
) -> None:
    """However the courses are told, in order by flows too, and however much more is looked at."""
    limits = limits_of(stagger, repeat)
    best = least(courses, limits, joint_cost)
    assume(best is not None)
    assert best is not None
    pools = [
        replace(pool_of([told], limits), joint_cost=joint_cost) for told in (courses, courses[::-1])
    ]
    for pool in pools:
        for flowing in (False, True):
            assert 0 < raised(pool, best + best // 3, flowing=flowing) <= best
    made = place_joints(pools[0], STANDARD)
    assert isinstance(made, Jointed)
    assert made.plan.bound <= best <= made.plan.cost


def one_run(joint_cost: int = 0) -> Pool:
    """A run of 120 jointed at 40, 80 or both; sticks of 100 for 100 and of 45 for 61."""
    rules = JointRules(Places.FRAMING, 40, 0, 24, 6, 1, 1, end_matched=False)
    run = JointRun(0, 1, 0, 120, (40, 80), BearingLine((), (), 1), "0")
    stocks = (Stock("0", 45, 45, 61), Stock("1", 100, 100, 100))
    return Pool((run,), (rules,), stocks, 1, joint_cost)


@pytest.mark.parametrize("joint_cost", [0, 7])
def test_a_stick_and_a_half_cannot_be_bought(joint_cost: int) -> None:
    """Two pieces of 40 to a stick of 100: one and a half of them are 150, for three pieces.

    One stick of either length is 161; two of 45 hold but two pieces of the three, two of 100 are
    200. One joint is enough: 80 from the longer stick, 40 from the shorter.
    """
    job = prepared(one_run(joint_cost))
    in_parts = master_of(job).run(60)[1]
    assert 150 <= in_parts < 161 + joint_cost
    assert raised(one_run(joint_cost), 1000) == 161 + joint_cost
    made = place_joints(one_run(joint_cost), STANDARD)
    assert isinstance(made, Jointed)
    assert made.plan.bound == made.plan.cost == 161 + joint_cost


def test_nothing_is_said_where_there_is_too_much_to_look_at(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Too many mixes, numbers too large, sticks that cost nothing: as if nothing were known."""
    pool = one_run()
    free = (replace(pool.stocks[0], cost=0), pool.stocks[1])
    assert raised(replace(pool, stocks=free), 1000) == 0
    large = tuple(replace(stock, cost=stock.cost << 40) for stock in pool.stocks)
    assert raised(replace(pool, stocks=large), 1000 << 40) == 0
    monkeypatch.setattr(whole_sticks, "MOST_MIXES", 9)
    assert raised(pool, 1000) == 0


def test_of_short_supply_no_more_is_asked() -> None:
    """One stick of 45 and no more: the mixes keep to it, and 161 is still the least."""
    pool = one_run()
    short = (replace(pool.stocks[0], supply=1), pool.stocks[1])
    assert raised(replace(pool, stocks=short), 1000) == 161
    none = (replace(pool.stocks[0], supply=0), pool.stocks[1])
    assert raised(replace(pool, stocks=none), 1000) == 200


def test_courses_are_laid_as_whole_sticks_would_have_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """A drawn room whose joints have a price: laid so it costs what is proved, and more without."""
    room = replace(drawn_courses.drawn("rectangular", 902)[11].pool, joint_cost=450)
    made = place_joints(room, STANDARD)
    assert isinstance(made, Jointed)
    assert made.plan.optimal
    monkeypatch.setattr(solve, "laid_again", lambda best, *_: best)
    without = place_joints(room, STANDARD)
    assert isinstance(without, Jointed)
    assert made.plan.bound == without.plan.bound < made.plan.cost + 1 <= without.plan.cost
