"""Strips from rolls: whole or spliced, rests used again, laps apart, and the bound.

Common practice; the numbers are arithmetic, in inches.
"""

from __future__ import annotations

from collections import defaultdict

import pytest

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.cutting.rolls import Laps, Length, RollPlan, roll_out
from service.units.ticks import INCH


def rolled(
    lengths: list[int],
    *stocks: tuple[int, int | None],
    end: int = 6,
    offset: int = 12,
    reuse: int = 36,
) -> RollPlan | None:
    """The plan for strips of neighbouring widths; a roll costs its length."""
    strips = [Length((0, k), 0, length * INCH) for k, length in enumerate(lengths)]
    bought = [
        Stock(str(k), length * INCH, length * INCH, length, supply)
        for k, (length, supply) in enumerate(stocks)
    ]
    return roll_out(strips, bought, Laps(end * INCH, offset * INCH, reuse * INCH), EFFORTS["quick"])


def made(plan: RollPlan | None) -> list[list[tuple[int, int]]]:
    """From where to where the pieces of each strip reach."""
    assert plan is not None
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for piece in plan.pieces:
        found[piece.strip].append((piece.low // INCH, piece.high // INCH))
    return [found[k] for k in sorted(found)]


def test_strips_that_share_rolls_without_laps_have_none() -> None:
    """Two of 200 in off one roll of 400 in, the third off another."""
    plan = rolled([200, 200, 200], (400, None))
    assert made(plan) == [[(0, 200)]] * 3
    assert plan is not None
    assert (plan.cost, plan.bound) == (800, 800)


def test_rests_that_start_the_next_width_save_a_roll() -> None:
    """Seven of 250 in: seven rolls of 300 in whole; spliced 1750 + 5 x 6 in, six rolls."""
    plan = rolled([250] * 7, (300, None))
    pieces = made(plan)
    assert plan is not None
    assert (len(plan.rolls), plan.bound) == (6, 6 * 300)
    assert pieces[0] == [(0, 250)]
    assert pieces[1] == [(0, 50), (44, 250)]


def test_a_rest_that_is_too_short_starts_nothing() -> None:
    """The rests of 50 in are waste where 60 in are asked of a rest."""
    plan = rolled([250] * 7, (300, None), reuse=60)
    assert made(plan) == [[(0, 250)]] * 7


def test_what_is_cheaper_than_whole_strips_has_a_lap() -> None:
    """Six of 250 in are 1500 in, five rolls to the inch; with any lap they are six."""
    plan = rolled([250] * 6, (300, None))
    assert plan is not None
    assert plan.cost == plan.bound == 6 * 300


def test_a_strip_over_one_roll_is_spliced_as_often_as_it_must() -> None:
    """250 ft from rolls of 100 ft: two laps of 6 in, 251 ft in all."""
    plan = rolled([3000], (1200, None))
    assert made(plan) == [[(0, 1200), (1194, 2394), (2388, 3000)]]
    assert plan is not None
    assert plan.cost == plan.bound == 3600


def test_laps_of_neighbouring_widths_keep_apart() -> None:
    """Both would end at 1200: the second ends 12 in before it."""
    pieces = made(rolled([1300, 1300], (1200, None), reuse=2000))
    assert [own[0][1] for own in pieces] == [1200, 1188]


def test_the_last_roll_is_the_cheapest_that_holds_what_is_left() -> None:
    """1300 in: one of 1200 in and a short one."""
    plan = rolled([1300], (1200, None), (200, None))
    assert plan is not None
    assert sorted(plan.rolls) == [0, 1]
    assert plan.cost == plan.bound == 1400


def test_small_rolls_where_one_large_one_costs_more() -> None:
    """Two of 199 in: 398 in and laps; three of 180 in are 540 in, one of 1800 in costs more."""
    plan = rolled([199, 199], (180, None), (1800, None))
    assert made(plan) == [[(0, 180), (174, 199)], [(0, 155), (149, 199)]]
    assert plan is not None
    assert plan.cost == plan.bound == 540


def test_strips_that_leave_rests_too_short_come_in_another_order() -> None:
    """Three of 319 in and two of 182 in off rolls of 180 in, which are 1440 in for eight.

    In turn 319 in leaves 35 in of its second roll, too short for anything. Both of 182 in off three
    rolls leave 164 in, which begin a strip: eight rolls. Each strip needs two at least, a lap for
    each: 1321 + 5 x 6 = 1351 in, more than seven rolls.
    """
    plan = rolled([319, 319, 319, 182, 182], (180, None))
    assert plan is not None
    assert plan.cost == plan.bound == 8 * 180


def test_two_strips_that_no_roll_holds_need_as_many_laps_as_rolls_less_one() -> None:
    """Two of 445 in: three rolls of 300 in hold 900 in, but with two laps it takes 902 in."""
    plan = rolled([445, 445], (300, None), (1400, None))
    assert plan is not None
    assert plan.cost == plan.bound == 4 * 300


@pytest.mark.parametrize("supply", [0, 1])
def test_rolls_that_do_not_reach_make_no_plan(supply: int) -> None:
    assert rolled([100, 100], (100, supply)) is None


def test_a_roll_no_longer_than_two_laps_splices_nothing() -> None:
    assert rolled([100], (11, None)) is None


def test_no_strips_need_no_rolls() -> None:
    plan = rolled([], (100, None))
    assert plan is not None
    assert (plan.pieces, plan.cost) == ((), 0)
