"""What layouts cost at least by prices of others: kept up step by step as if reckoned afresh."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.records import Need, Stock
from service.cutting.sticks.master import Master
from service.joints.floors import MOST_FLOORS, Floors
from tests.strategies.budget import examples

STOCKS = (Stock("0", 80, 80, 80), Stock("1", 120, 120, 124))
NEEDS = (Need(27), Need(34), Need(41), Need(66))
COUNTS = st.lists(st.integers(1, 12), min_size=len(NEEDS), max_size=len(NEEDS))


@examples(20)
@given(layouts=st.lists(st.tuples(COUNTS, COUNTS, st.booleans()), min_size=1, max_size=40))
def test_floors_kept_step_by_step_are_those_reckoned_afresh(
    layouts: list[tuple[list[int], list[int], bool]],
) -> None:
    """Of whole numbers exactly: the greatest of cost and prices of each that is remembered."""
    first = layouts[0][0]
    floors, known = Floors(first), list[tuple[list[int], list[int]]]()
    for asked, worths, moves in layouts:
        cost = 7 * len(known)
        floors.add(cost, worths, asked)
        known.append((worths, [cost, *asked]))
        if moves:
            floors.move(asked)
        for wanted in (first, asked, worths):
            assert floors.least(wanted) == max(
                cost + sum(w * (n - a) for w, n, a in zip(worths, wanted, there, strict=True))
                for worths, (cost, *there) in known[-MOST_FLOORS:]
            )


@examples(12)
@given(layouts=st.lists(COUNTS, min_size=2, max_size=8))
def test_no_layout_costs_less_than_its_floor(layouts: list[list[int]]) -> None:
    """Cut by the same patterns, which are all there are: the programme has been priced before."""
    cutting = Master(STOCKS, NEEDS, 1)
    for counts in layouts:
        cutting.demand(dict(zip(NEEDS, counts, strict=True)))
        assert cutting.settled(100) is not None
    floors = Floors(layouts[0])
    for counts in layouts:
        cutting.demand(dict(zip(NEEDS, counts, strict=True)))
        solved = cutting.programme.solve()
        assert solved is not None
        assert floors.least(counts) <= solved.objective + 1e-6
        floors.add(solved.objective, [solved.duals[cutting.rows[need]] for need in NEEDS], counts)
        assert floors.least(counts) == pytest.approx(solved.objective)


def test_a_floor_by_hand() -> None:
    """A stick of 80 for 80 has two of 34: one more than 4 of them costs 40 by the price of 4."""
    cutting = Master(STOCKS[:1], (Need(34),), 1)
    cutting.demand({Need(34): 4})
    solved = cutting.settled(10)
    assert solved is not None
    assert Fraction(solved.objective) == 160
    floors = Floors([4])
    floors.add(solved.objective, [solved.duals[cutting.rows[Need(34)]]], [4])
    assert floors.least([5]) == 200
    assert floors.least([2]) == 80
