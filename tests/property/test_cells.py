"""Joints anywhere told by cells: what that proves is no more than any layout and cutting costs."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.joints.bounds import least_in_cells
from service.joints.cells import in_cells
from service.joints.job import Pool, prepared
from service.joints.material import material, without_joints
from service.joints.records import JointRules, JointRun, Places
from service.layout.bearings import BearingLine
from service.units.ticks import INCH
from tests.independent import brute
from tests.strategies.budget import examples

LEAST, STAGGER, KERF, LONGEST = 24 * INCH, 24 * INCH, INCH // 8, 100 * INCH
STANDARD = EFFORTS["standard"]
STOCKS = (Stock("0", 84 * INCH, 84 * INCH, 840), Stock("1", LONGEST, LONGEST, 1040))
STICKS = tuple(brute.Stick(stock.usable, stock.cost) for stock in STOCKS)
EVERY = 12 * INCH
"""How far apart the joints are that are tried: any that keep the rules may be where they like."""

FAR = 10**9

Courses = list[tuple[int, int]]
"""Low and high end of each run."""


def places_of(low: int, high: int, first: int) -> tuple[int, ...]:
    return tuple(at for at in range(first, high, EVERY) if low + LEAST <= at <= high - LEAST)


def pool_of(layers: list[Courses], first: int, repeat: int, joint: int = 0) -> Pool:
    line = BearingLine((), (), 1)
    rules = JointRules(Places.ANYWHERE, LEAST, 0, STAGGER, repeat, 1, 1, end_matched=False)
    runs = [
        JointRun(number, 1 + k, low, high, places_of(low, high, first), line, f"{number}.{k}")
        for number, courses in enumerate(layers)
        for k, (low, high) in enumerate(courses)
    ]
    return Pool(tuple(runs), (rules,) * len(layers), STOCKS, KERF, joint)


def ticks(least: int, most: int) -> st.SearchStrategy[int]:
    """A length between so many inches, on no grid."""
    return st.integers(least * INCH, most * INCH)


@st.composite
def courses(draw: st.DrawFn) -> Courses:
    """Two or three, from one wall or from several; one may be of one piece."""
    low = draw(st.sampled_from([st.just(0), ticks(0, 9)]))
    high = draw(st.sampled_from([st.just(150 * INCH + 12345), ticks(60, 170)]))
    return [(draw(low), draw(high)) for _ in range(draw(st.integers(2, 3)))]


@examples(24)
@given(laid=courses(), first=ticks(24, 33), repeat=st.sampled_from([0, 1, 6 * INCH, 20 * INCH]))
def test_cells_prove_no_more_than_the_least_cost(laid: Courses, first: int, repeat: int) -> None:
    """Told from the last course to the first too, and twice."""
    limits = brute.Limits(LONGEST, LEAST, 0, STAGGER, repeat, (), 1)
    runs = [brute.Run(low, high, places_of(low, high, first)) for low, high in laid]
    assume(brute.any_layout(runs, limits))
    best = brute.least_cost(runs, limits, STICKS, KERF)
    assert best is not None
    once, turned, twice = (
        least_in_cells(pool_of(layers, first, repeat), STANDARD, FAR)
        for layers in ([laid], [laid[::-1]], [laid, laid])
    )
    assert max(once, turned) <= best
    assert once <= twice <= 2 * best


def test_cells_know_that_joints_keep_apart() -> None:
    """Nine courses of 187 in off 96 and 120 in: two of the shorter hold one, 5 in to spare.

    So their joint is within 5 in of one place, and no two courses that touch have it there:
    four of the nine take a longer stick, or a joint more. Bare length knows nothing of that.
    """
    stocks = (Stock("0", 96 * INCH, 96 * INCH, 960), Stock("1", 120 * INCH, 120 * INCH, 1230))
    pool = replace(pool_of([[(0, 187 * INCH)] * 9], LEAST, 6 * INCH, joint=300), stocks=stocks)
    bare = material(prepared(pool))
    assert bare == 9 * (2 * 960 + 300)
    assert least_in_cells(pool, STANDARD, FAR) > bare * 1.02


@pytest.mark.parametrize("mitres", [(0, 0), (4, 7)])
def test_bare_length_is_told_without_graphs_where_joints_cost_nothing(
    mitres: tuple[int, int],
) -> None:
    """Of runs that one stick holds, of longer ones, and of one that is there already."""
    pool = pool_of([[(0, 150 * INCH)], [(0, 90 * INCH)], [(5, 187 * INCH)]], LEAST, STAGGER)
    runs = tuple(replace(run, mitres=mitres) for run in pool.runs)
    for own in (runs, (*runs[:2], replace(runs[2], installed=()))):
        bare = replace(pool, runs=own, joint_cost=0)
        assert without_joints(bare) == material(prepared(bare)) > 0


def test_only_joints_that_may_be_anywhere_are_told_by_cells() -> None:
    pool = pool_of([[(0, 150 * INCH)] * 3], LEAST, 0)
    assert in_cells(pool) is not None
    rules = pool.rules[0]
    for other in (
        JointRules(Places.FRAMING, LEAST, 0, STAGGER, 0, 1, 1, end_matched=False),
        JointRules(Places.ANYWHERE, LEAST, 0, 0, 0, 1, 1, end_matched=False),
        JointRules(Places.ANYWHERE, LEAST, 0, STAGGER, 0, 1, 1, end_matched=True),
    ):
        assert other != rules
        told = Pool(pool.runs, (other,), STOCKS, KERF)
        assert in_cells(told) is None
        assert least_in_cells(told, STANDARD, FAR) == 0
