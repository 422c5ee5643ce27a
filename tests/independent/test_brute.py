"""The exhaustive search finds what can be seen by hand."""

from __future__ import annotations

from itertools import combinations

from tests.independent import brute
from tests.independent.brute import Limits, Run, Stick

MEMBERS = tuple((at * 2 - 1, at * 2 + 1) for at in range(16, 200, 16))
LIMITS = Limits(286, 48, 3, 48, 12, MEMBERS, 1)
"""In half inches: sticks of 143 in, pieces of 24 in, joints 24 in apart."""


def run(inches: int) -> Run:
    """A run from a half inch, jointed on members."""
    return Run(1, inches * 2 - 1, tuple(at * 2 for at in range(16, inches, 16)))


def test_a_run_that_fits_one_stick_needs_no_joint() -> None:
    """143 in of run out of 143 in of stick."""
    assert brute.joint_sets(run(144), LIMITS) == [()]
    assert () not in brute.joint_sets(run(145), LIMITS)


def test_joint_sets_are_the_legal_ones_of_all_subsets() -> None:
    """Nothing is missed by counting up the joints."""
    one = run(200)
    wanted = {s for s in brute.all_subsets(one.places) if brute.legal(one, s, LIMITS)}
    assert set(brute.joint_sets(one, LIMITS)) == wanted
    assert len(wanted) > 1


def test_one_place_for_two_courses_is_no_layout() -> None:
    """One member that will do, and the courses must not share it."""
    short = Limits(200, 48, 3, 48, 12, MEMBERS, 1)
    one = Run(1, 385, (192,))
    assert brute.any_layout([one], short)
    assert not brute.any_layout([one, one], short)


def test_the_smallest_sets_decide_whether_there_is_a_layout() -> None:
    """Trying every set of joints gives the same verdict as trying the smallest."""
    verdicts = set()
    for inches in range(150, 260, 10):
        for longest in (150, 180, 200):
            short = Limits(longest, 48, 3, 48, 12, MEMBERS, 1)
            runs = [run(inches)] * 3
            all_of_them = next(brute.layouts(runs, short), None) is not None
            assert brute.any_layout(runs, short) == all_of_them
            verdicts.add(all_of_them)
    assert verdicts == {True, False}


def test_cutting_takes_the_cheapest_sticks() -> None:
    """Nine 3 ft pieces: three sticks of 10 ft at 10, not five of 8 ft at 8."""
    stock = (Stick(96, 8), Stick(120, 10))
    assert brute.cheapest_cutting((36,) * 9, stock, 0) == 30
    assert brute.cheapest_cutting((36,) * 9, (Stick(96, 8),), 0) == 40


def test_cutting_allows_for_the_saw() -> None:
    """Two 72 in pieces never come from 144 in with a kerf."""
    stock = (Stick(144, 12),)
    assert brute.cheapest_cutting((72, 72), stock, 0) == 12
    assert brute.cheapest_cutting((72, 72), stock, 1) == 24


def test_the_least_cost_is_the_least_over_all_layouts() -> None:
    """A second reckoning by plain products of subsets."""
    runs, stock = [run(200), run(200)], (Stick(190, 8), Stick(286, 12))
    costs = [
        brute.cheapest_cutting(brute.pieces_of(runs[0], a) + brute.pieces_of(runs[1], b), stock, 0)
        for a in brute.joint_sets(runs[0], LIMITS)
        for b in brute.joint_sets(runs[1], LIMITS)
        if brute.apart(a, b, LIMITS.stagger)
    ]
    assert brute.least_cost(runs, LIMITS, stock, 0) == min(costs)
    assert not any(abs(a - b) < 0 for a, b in combinations(costs, 2))
