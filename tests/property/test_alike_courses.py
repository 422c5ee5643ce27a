"""Courses priced as if all were as long as any: sure bounds, and layouts that keep the windows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.joints import alike
from service.joints.alike import settled_alike
from service.joints.bounds import master_of
from service.joints.job import Pool, prepared
from service.joints.records import Jointed, JointRules, JointRun, Places
from service.joints.solve import place_joints
from service.layout.bearings import BearingLine
from service.units.folding import folded
from tests.independent import brute
from tests.strategies.budget import examples

SPACING, LEAST, STAGGER, REPEAT, KERF = 16, 24, 24, 1, 1
FAR, ROUNDS = 176, 60
STOCKS = (Stock("0", 84, 84, 84), Stock("1", 100, 100, 104))
LIMITS = brute.Limits(100, LEAST, 0, STAGGER, REPEAT, (), 1)

Span = tuple[int, int]

SPAN = st.tuples(st.integers(0, 3), st.integers(168, 175))


@pytest.fixture(autouse=True)
def _on_few_courses() -> Iterator[None]:
    """As if few lengths were many."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(alike, "FEWEST_NEEDS", 0)
        patch.setattr(alike, "TIMES_FEWER", 0)
        yield


def places_of(low: int, high: int) -> tuple[int, ...]:
    return tuple(at for at in range(0, FAR + 1, SPACING) if low + LEAST <= at <= high - LEAST)


def pool_of(spans: list[Span], joint_cost: int = 0) -> Pool:
    """A run a course, each with ends of its own, on members 16 apart."""
    members = tuple(range(0, FAR + 1, SPACING))
    line = BearingLine(members, tuple(range(1, len(members) + 1)), 1)
    rules = JointRules(Places.FRAMING, LEAST, 0, STAGGER, REPEAT, 1, 1, end_matched=False)
    runs = tuple(
        JointRun(0, 1 + k, low, high, places_of(low, high), line, str(k))
        for k, (low, high) in enumerate(spans)
    )
    return Pool(runs, (rules,), STOCKS, KERF, joint_cost)


@examples(8)
@given(spans=st.lists(SPAN, min_size=2, max_size=3, unique=True))
def test_the_bound_is_no_more_than_the_least_cost(spans: list[Span]) -> None:
    """Over every layout and every cutting by trying, however little the prices show."""
    runs = [brute.Run(low, high, places_of(low, high)) for low, high in spans]
    assume(brute.any_layout(runs, LIMITS))
    sticks = tuple(brute.Stick(stock.usable, stock.cost) for stock in STOCKS)
    best = brute.least_cost(runs, LIMITS, sticks, KERF)
    assert best is not None
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(alike, "NEAR", 1.0)
        job = prepared(pool_of(spans))
        found = settled_alike(job, master_of(job), ROUNDS)
        made = place_joints(pool_of(spans), EFFORTS["standard"])
    assert found is None or found[1] <= best
    assert isinstance(made, Jointed)
    assert made.plan.bound <= best <= made.plan.cost


@examples(20)
@given(first=SPAN, by=st.integers(1, 2), count=st.integers(6, 12), joint=st.sampled_from([0, 3]))
def test_what_counts_as_solved_is_a_solution_of_all_courses(
    first: Span, by: int, count: int, joint: int
) -> None:
    """It costs no less than the programme's own least, and is shown to cost hardly more.

    Every run is laid once, and no window has more joints than there is room for.
    """
    spans = [(first[0], first[1] - by * k // 3) for k in range(count)]
    job = prepared(pool_of(spans, joint))
    master, other = master_of(job), master_of(job)
    columns = len(master.cutting.programme.columns)
    found = settled_alike(job, master, ROUNDS)
    least = other.run(ROUNDS)[0]
    assert least is not None
    if found is None:
        assert len(master.cutting.programme.columns) == columns
        return
    solved, bound = found
    assert bound - 1 <= least.objective <= solved.objective + 1e-6
    assert least.objective <= (bound + 1) / (1 - alike.NEAR)
    joints: dict[int, float] = defaultdict(float)
    for group in master.groups:
        shares = {own: solved.values[column] for own, column in group.layouts.items()}
        assert folded(shares.values()) == pytest.approx(group.count, abs=1e-4)
        for own, share in shares.items():
            for node in own:
                for row in group.windows[node]:
                    joints[row] += share
    assert all(joints[row] <= most + 1e-4 for row, most in master.windows.items())


def test_a_slant_of_little_is_priced_by_one_course() -> None:
    """Twelve courses of 175 to 172 on the same members have four times the lengths of one.

    All are laid as those of 175 are, so the programme of all costs what that of twelve alike does.
    """
    job = prepared(pool_of([(0, 175 - k // 3) for k in range(12)]))
    alone = prepared(pool_of([(0, 175)] * 12))
    found = settled_alike(job, master_of(job), ROUNDS)
    assert found is not None
    solved = master_of(alone).run(ROUNDS)[0]
    assert solved is not None
    assert found[0].objective == pytest.approx(solved.objective)
