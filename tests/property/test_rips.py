"""Rips that share boards, against trying every way of pooling; strips by the counting rule."""

from __future__ import annotations

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stock
from service.cutting.sticks.rips import Rip, WholeBoard, blanks_for, rip_plan
from tests.independent.cut_plans import fewest_blank_length
from tests.strategies.budget import LAW

WIDTH, KERF = 50, 2
BOARD = WholeBoard(WIDTH, KERF)
STOCKS = (Stock("0", 96, 96, 8), Stock("1", 144, 144, 12))


@st.composite
def rips(draw: st.DrawFn) -> Counter[Rip]:
    """A few rips: first courses keep one edge, last courses the other, strips none."""
    edges = st.sampled_from([(False, False), (True, False), (False, True)])
    found: Counter[Rip] = Counter()
    for length, width, (low, high) in draw(
        st.lists(
            st.tuples(st.sampled_from([24, 36, 60, 90]), st.integers(8, WIDTH), edges),
            min_size=1, max_size=6,
        )
    ):  # fmt: skip
        found[Rip(Need(length), width, low, high)] += 1
    return found


@LAW
@given(wanted=rips())
def test_blanks_hold_every_rip_and_are_as_short_as_can_be(wanted: Counter[Rip]) -> None:
    """Each rip once, widths and edges kept, and no pooling needs less length."""
    blanks = blanks_for(wanted, BOARD, EFFORTS["thorough"])
    assert blanks is not None
    assert Counter(rip for blank in blanks for rip in blank.rips) == wanted
    for blank in blanks:
        assert blank.need.length == max(rip.need.length for rip in blank.rips)
        assert BOARD.holds(blank.rips)
    total = sum(blank.need.length for blank in blanks)
    rows = [(r.need.length, r.width, r.low_edge, r.high_edge) for r in wanted.elements()]
    assert total == fewest_blank_length(rows, WIDTH, KERF)


@LAW
@given(wanted=rips(), others=st.lists(st.integers(10, 140), max_size=5))
def test_pooling_never_costs_more_and_the_bound_holds(
    wanted: Counter[Rip], others: list[int]
) -> None:
    """Against a board for each rip."""
    needs = Counter(map(Need, others))
    made = rip_plan(STOCKS, needs, wanted, BOARD, EFFORTS["thorough"])
    wide = Counter({rip._replace(width=WIDTH): 0 for rip in wanted})
    for rip, count in wanted.items():
        wide[rip._replace(width=WIDTH)] += count
    apart = rip_plan(STOCKS, needs, wide, BOARD, EFFORTS["thorough"])
    assert made is not None
    assert apart is not None
    assert made.plan.bound <= made.plan.cost <= apart.plan.cost
    pieces = Counter(need for stick in made.plan.sticks for need in stick.pieces)
    assert pieces == needs + Counter(blank.need for blank in made.blanks)


def test_first_and_last_course_from_one_board() -> None:
    """3-7/16 and 1-1/2 in with a kerf of 1/8 in from 5-1/8 in of board, in 1/16 in; not 1-11/16."""
    first = Rip(Need(960), 55, high_edge=True)
    for width, boards in ((24, 1), (25, 1), (26, 2)):
        last = Rip(Need(960), width, low_edge=True)
        blanks = blanks_for({first: 1, last: 1}, WholeBoard(82, 2), EFFORTS["standard"])
        assert blanks is not None
        assert len(blanks) == boards
    assert not WholeBoard(200, 2).holds((first, first))
    assert WholeBoard(200, 2, turns=True).holds((first, first))
    assert not WholeBoard(200, 2, turns=True).holds((first, first, first))


def test_a_rip_wider_than_the_board_has_no_blank() -> None:
    assert blanks_for({Rip(Need(10), 51): 1}, BOARD, EFFORTS["quick"]) is None
    assert rip_plan(STOCKS, {}, {Rip(Need(10), 51): 1}, BOARD, EFFORTS["quick"]) is None
