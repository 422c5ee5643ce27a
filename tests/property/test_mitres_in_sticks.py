"""No sticks of slanted pieces save more than the ends of all of them are said to (4.5, 8.8)."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, permutations

from hypothesis import given
from hypothesis import strategies as st

from service.joints.mitres import with_mitres
from service.joints.records import JointRun, Slant
from service.layout.bearings import BearingLine
from tests.strategies.budget import examples

RUN = JointRun(0, 0, 0, 1000, (), BearingLine((), 0, ((0, 0), (0, 0))), "one")


def straight(near: int, far: int) -> Slant:
    """An end as deep as that at its two edges, and as deep as both in the mean between."""
    return Slant(near, far, -(-(near + far) // 2))


DEPTHS = st.integers(0, 40)
SLANTS = st.one_of(
    DEPTHS.map(lambda deep: straight(0, deep)),
    DEPTHS.map(lambda deep: straight(deep, 0)),
    st.builds(straight, DEPTHS, DEPTHS),
)
RUNS = st.lists(
    st.builds(
        lambda low, high, turned: replace(RUN, slants=(low, high), turned=turned),
        SLANTS, SLANTS, st.booleans(),
    ),
    min_size=1, max_size=5,
)  # fmt: skip


def in_the_stick(run: JointRun) -> tuple[Slant, Slant]:
    """A board's own low and high end: laid half round, its ends and its edges change places."""
    low, high = run.slants
    return (half_round(high), half_round(low)) if run.turned else (low, high)


def half_round(slant: Slant) -> Slant:
    """The same end when its board is turned."""
    return Slant(slant.far, slant.near, slant.mean)


def overlap(one: Slant, other: Slant) -> int:
    """How far two pieces side by side overlap, clear of each other on both edges."""
    return min(one.near + other.near, one.far + other.far)


@examples(100)
@given(runs=RUNS)
def test_no_order_of_boards_overlaps_more(runs: list[JointRun]) -> None:
    """All in one stick, in every order, none turned: fewer in a stick overlap less often."""
    said = sum(sum(run.mitres) for run in with_mitres(runs, turns=False))
    ends = [in_the_stick(run) for run in runs]
    assert said >= max(_overlaps(order) for order in permutations(ends))


@examples(60)
@given(runs=st.lists(st.sampled_from([RUN]), max_size=0) | RUNS.map(lambda own: own[:4]))
def test_nor_does_any_order_of_boards_that_may_be_turned(runs: list[JointRun]) -> None:
    """Boards with square edges lie either way round."""
    said = sum(sum(run.mitres) for run in with_mitres(runs, turns=True))
    ways = [_ways(in_the_stick(run)) for run in runs]
    assert said >= max((_overlaps(one) for one in _chosen(ways)), default=0)


def test_a_trapezoid_saves_nothing_and_a_parallelogram_one_slant_a_piece() -> None:
    """By hand: ends that slant 30 on one side only; then all 30 alike; then across each other."""
    high_only = [replace(RUN, slants=(Slant(), straight(0, 30)))] * 4
    alike = [replace(RUN, slants=(straight(0, 30), straight(30, 0)))] * 4
    across = [replace(RUN, slants=(straight(0, 30), straight(0, 30)))] * 4
    saved = [
        sum(sum(run.mitres) for run in with_mitres(runs, turns=False))
        for runs in (high_only, alike, across)
    ]
    assert saved == [0, 120, 0]


def test_a_run_that_is_there_already_saves_nothing() -> None:
    """Nothing is cut for it."""
    runs = [replace(RUN, slants=(straight(9, 9), straight(9, 9)), installed=())]
    assert with_mitres(runs, turns=False)[0].mitres == (0, 0)


def _overlaps(order: tuple[tuple[Slant, Slant], ...]) -> int:
    return sum(overlap(one[1], other[0]) for one, other in pairwise(order))


def _ways(ends: tuple[Slant, Slant]) -> list[tuple[Slant, Slant]]:
    """As it lies and half round."""
    low, high = ends
    return [(low, high), (half_round(high), half_round(low))]


def _chosen(ways: list[list[tuple[Slant, Slant]]]) -> list[tuple[tuple[Slant, Slant], ...]]:
    """Every order of the pieces, each of them each way round."""
    if not ways:
        return [()]
    return [
        (way, *after)
        for k, own in enumerate(ways)
        for way in own
        for after in _chosen(ways[:k] + ways[k + 1 :])
    ]
