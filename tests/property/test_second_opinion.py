"""Cutting and courses against a second general solver: equal where proved, bounded everywhere.

Jobs are larger than those that are tried out whole: up to some dozens of pieces, several courses.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import partial

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Plan, Stock
from service.cutting.sticks.solve import solve
from service.joints import job
from service.joints.job import Pool
from service.joints.records import Jointed, JointRules, JointRun, Places
from service.joints.solve import place_joints
from service.layout.bearings import BearingLine
from tests.independent.cut_plans import (
    Bar,
    CourseRules,
    LaidRun,
    pieces_of_runs,
    plan_faults,
    run_faults,
)
from tests.independent.second_solver import BareRun, Unfinished, least_cutting, least_layout
from tests.strategies.budget import LAW, examples

SPACING, KERF = 16, 1

MANY, COURSES = examples(100), examples(60)
"""The other solver is quick on such jobs, where joints are to be chosen less so."""


def bars_of(stocks: tuple[Stock, ...]) -> list[Bar]:
    return [Bar(stock.usable, stock.cost, stock.supply) for stock in stocks]


def known(asked: Callable[[], int | None]) -> int | None:
    """What the other solver finds; a job that is too hard for it is another example."""
    try:
        return asked()
    except Unfinished:
        reject()


def agrees(plan: Plan, least: int) -> None:
    """The law of this file."""
    assert plan.bound <= least <= plan.cost
    assert not plan.optimal or plan.cost == least


@st.composite
def cutting_jobs(draw: st.DrawFn) -> tuple[tuple[Stock, ...], Counter[Need], int]:
    """Two to four stock lengths, some short, the longest never; up to 60 pieces of 10 lengths."""
    lengths = sorted(draw(st.sets(st.integers(40, 120), min_size=2, max_size=4)))
    supply = st.none() | st.integers(0, 4)
    stocks = tuple(
        Stock(str(k), size, size, draw(st.integers(0 if limit is not None else 1, 300)), limit)
        for k, size in enumerate(lengths)
        for limit in [None if size == lengths[-1] else draw(supply)]
    )
    sizes = st.integers(16, lengths[-1])
    needs = draw(st.dictionaries(sizes, st.integers(1, 6), min_size=2, max_size=10))
    return stocks, Counter({Need(size): n for size, n in needs.items()}), draw(st.integers(0, 3))


@MANY
@given(asked=cutting_jobs(), effort=st.sampled_from(sorted(EFFORTS)))
def test_cutting_agrees(asked: tuple[tuple[Stock, ...], Counter[Need], int], effort: str) -> None:
    stocks, needs, kerf = asked
    plan = solve(stocks, needs, kerf, EFFORTS[effort])
    wanted = {need.length: count for need, count in needs.items()}
    least = known(partial(least_cutting, bars_of(stocks), kerf, wanted))
    assert plan is not None
    assert least is not None
    agrees(plan, least)


@st.composite
def rooms(draw: st.DrawFn) -> tuple[Pool, CourseRules, list[BareRun]]:
    """Two to five courses on members every 16, their ends straight, stepped or slanting."""
    length, count = draw(st.integers(120, 230)), draw(st.integers(2, 5))
    step, low = draw(st.sampled_from([0, 0, 3, 11])), draw(st.sampled_from([0, 0, 5]))
    runs = [BareRun(k, k * low, length - k * step) for k in range(count)]
    rules = CourseRules(
        length, frozenset(range(SPACING, length, SPACING)), draw(st.sampled_from([20, 24, 40])),
        draw(st.sampled_from([16, 24, 32])), draw(st.sampled_from([0, 1, 6])),
    )  # fmt: skip
    sizes = draw(st.sets(st.sampled_from([48, 64, 80, 96, 112, 128]), min_size=1, max_size=3))
    stocks = tuple(
        Stock(str(k), size, size, size * draw(st.sampled_from([100, 100, 103, 117])))
        for k, size in enumerate(sorted(sizes))
    )
    return pool_for(rules, runs, stocks, whole=draw(st.booleans())), rules, runs


def pool_for(
    rules: CourseRules, runs: list[BareRun], stocks: tuple[Stock, ...], *, whole: bool
) -> Pool:
    own = JointRules(
        Places.FRAMING, rules.min_piece, 0, rules.stagger, rules.repeat, 1, 1,
        end_matched=False, whole_where_it_fits=whole,
    )  # fmt: skip
    members = tuple(sorted(rules.supports or ()))
    line = BearingLine(members, tuple(range(1, len(members) + 1)), 1)
    laid = []
    for k, run in enumerate(runs):
        first, last = run.low + rules.min_piece, run.high - rules.min_piece
        allowed = tuple(at for at in members if first <= at <= last)
        laid.append(JointRun(0, run.course, run.low, run.high, allowed, line, str(k)))
    return Pool(tuple(laid), (own,), stocks, KERF)


Room = tuple[Pool, CourseRules, list[BareRun]]


@COURSES
@given(room=rooms(), effort=st.sampled_from(sorted(EFFORTS)))
def test_courses_agree(room: Room, effort: str) -> None:
    """A layout that is found is sound; none is called impossible that the other solver lays."""
    courses_agree(room, effort)


@st.composite
def odd_rooms(draw: st.DrawFn) -> Room:
    """Few places for joints, with stagger, repeat and shortest piece in any relation."""
    size, pieces = draw(st.sampled_from([40, 48, 64, 72])), draw(st.sampled_from([2, 3, 3]))
    length = draw(st.integers((pieces - 1) * size + 4, pieces * size - 4))
    runs = [BareRun(k, 0, length) for k in range(draw(st.integers(2, 6)))]
    members = st.sets(st.integers(1, length // 4 - 1), min_size=4, max_size=12)
    rules = CourseRules(
        length, frozenset(4 * at for at in draw(members)), draw(st.sampled_from([8, 16, 24])),
        draw(st.sampled_from([0, 0, 1, 9, 17])), draw(st.sampled_from([0, 1, 6, 17, 33])),
    )  # fmt: skip
    stocks = [Stock("0", size, size, size)]
    if draw(st.booleans()):
        longer = size + 16
        stocks.append(Stock("1", longer, longer, size + draw(st.sampled_from([16, 30]))))
    return pool_for(rules, runs, tuple(stocks), whole=draw(st.booleans())), rules, runs


@COURSES
@given(room=odd_rooms(), effort=st.sampled_from(sorted(EFFORTS)))
def test_courses_agree_under_any_stagger_and_repeat(room: Room, effort: str) -> None:
    """A stagger under the repeat, or none: joints of touching courses may be on one member."""
    courses_agree(room, effort)


@LAW
@given(
    room=rooms(), effort=st.sampled_from(sorted(EFFORTS)), grain=st.integers(2, 20),
    large=st.booleans(),
)  # fmt: skip
def test_courses_agree_where_needs_stand_for_shorter_ones(
    room: Room, effort: str, grain: int, large: bool
) -> None:
    """With many lengths, some stand for those that are shorter by less than a grain."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(job, "MOST_NEEDS", 1)
        patched.setattr(job, "FEW_NEEDS", 1)
        patched.setattr(job, "MOST_SIZE", 0 if large else 10**9)
        patched.setattr(job, "GRAINS", (1, grain))
        courses_agree(room, effort)


def courses_agree(room: Room, effort: str) -> None:
    pool, rules, runs = room
    bars = bars_of(pool.stocks)
    whole = pool.rules[0].whole_where_it_fits
    least = known(partial(least_layout, bars, pool.kerf, rules, runs, whole_where_it_fits=whole))
    made = place_joints(pool, EFFORTS[effort])
    if not isinstance(made, Jointed):
        assert least is None
        return
    assert least is not None
    laid = [
        LaidRun(run.course, run.low, run.high, tuple(cut.low for cut in own[1:]))
        for run, own in zip(runs, made.cuts, strict=True)
    ]
    assert run_faults(rules, laid) == []
    sticks = [(stick.stock, [need.length for need in stick.pieces]) for stick in made.plan.sticks]
    assert plan_faults(bars, pool.kerf, pieces_of_runs(laid), sticks, made.plan.cost) == []
    agrees(made.plan, least)
