"""The programmes of the second solver by hand and by trying everything."""

from __future__ import annotations

import pytest

from tests.independent.cut_plans import Bar, CourseRules, Wanted, least_by_trying
from tests.independent.second_solver import BareRun, least_cutting, least_layout, ways_to_cut


def test_ways_to_cut_by_hand() -> None:
    """Out of 10 with a kerf of 1: 5 + 4, 4 + 4, and each alone; 5 + 5 takes 11."""
    ways = list(ways_to_cut(10, 1, {5: 2, 4: 3}))
    assert sorted(ways) == sorted([((4, 1),), ((4, 2),), ((5, 1),), ((5, 1), (4, 1))])


def test_cutting_by_hand() -> None:
    """Three of 5 out of 10 with a kerf of 1 take three bars, out of 11 two."""
    assert least_cutting([Bar(10, 7)], 1, {5: 3}) == 21
    assert least_cutting([Bar(10, 7), Bar(11, 9)], 1, {5: 3}) == 16
    assert least_cutting([Bar(11, 7, 1)], 1, {5: 3}) is None
    assert least_cutting([Bar(4, 7)], 1, {5: 1}) is None


@pytest.mark.parametrize("kerf", [0, 1, 3])
def test_cutting_by_trying(kerf: int) -> None:
    bars = [Bar(60, 55), Bar(100, 97), Bar(48, 0, 1)]
    lengths = [47, 47, 33, 31, 30, 12, 12]
    wanted = {length: lengths.count(length) for length in lengths}
    tried = least_by_trying(bars, kerf, [Wanted(length) for length in lengths])
    assert least_cutting(bars, kerf, wanted) == tried


def test_a_layout_by_hand() -> None:
    """Two courses of 80 from bars of 48, joints on 32 and 48: 16 apart, so one in each way.

    32 + 48 and 48 + 32: each bar gives one piece, since 48 is whole and 32 + 32 is too long.
    """
    rules = CourseRules(80, frozenset({16, 32, 48, 64}), 24, 16, 1)
    runs = [BareRun(k, 0, 80) for k in range(2)]
    laid = least_layout([Bar(48, 10)], 0, rules, runs, whole_where_it_fits=True)
    assert laid == 40
    assert least_layout([Bar(80, 25), Bar(48, 10)], 0, rules, runs, whole_where_it_fits=True) == 50
    both = least_layout([Bar(80, 25), Bar(48, 10)], 0, rules, runs, whole_where_it_fits=False)
    assert both == 40


def test_courses_that_no_joint_can_part_are_impossible() -> None:
    """The only place for a joint is 40, and the next course must keep 16 from it."""
    rules = CourseRules(80, frozenset({40}), 24, 16, 1)
    one, two = BareRun(0, 0, 80), BareRun(1, 0, 80)
    far = BareRun(1, 80, 120)
    bars = [Bar(48, 10)]
    assert least_layout(bars, 0, rules, [one], whole_where_it_fits=True) == 20
    assert least_layout(bars, 0, rules, [one, two], whole_where_it_fits=True) is None
    assert least_layout(bars, 0, rules, [one, far], whole_where_it_fits=True) == 30


def test_repeat_counts_two_courses_on() -> None:
    """Joints on 32 or 48 in turn come back after two courses; that may be forbidden."""
    runs = [BareRun(k, 0, 80) for k in range(3)]
    found = [
        least_layout(
            [Bar(48, 10)], 0, CourseRules(80, frozenset({32, 48}), 24, 16, repeat), runs,
            whole_where_it_fits=True,
        )
        for repeat in (0, 1)
    ]  # fmt: skip
    assert found == [60, None]
