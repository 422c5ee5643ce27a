"""Nesting of sheets on jobs small enough to be worked out by hand; sizes in ticks unless said."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from service.cutting.effort import EFFORTS
from service.cutting.sheets.master import SheetMaster
from service.cutting.sheets.nesting import Part, SheetPlan, SheetStock, nest
from service.cutting.sheets.stock import attainable
from service.cutting.sheets.trees import Leaf, Split, clipped, extent, fitted, joined, nested
from service.cutting.sheets.values import Table

INCH = 1_016_000
FULL = SheetStock("full", 96, 48, 1)


def planned(
    parts: dict[Part, int], *stocks: SheetStock, kerf: int = 0, effort: str = "standard"
) -> SheetPlan:
    plan = nest(parts, stocks or (FULL,), kerf, EFFORTS[effort])
    assert plan is not None
    return plan


def inches(length: float, width: float) -> Part:
    return Part(round(length * INCH), round(width * INCH))


def test_nothing_wanted_takes_nothing() -> None:
    assert planned({Part(10, 10): 0}) == SheetPlan((), 0, 0, 0)


def test_a_whole_sheet_is_neither_cut_nor_lost() -> None:
    plan = planned({Part(96, 48): 3}, kerf=1)
    assert (plan.cost, plan.bound, len(plan.sheets)) == (3, 3, 3)
    assert all((s.cuts, s.rests, s.kerf) == ((), (), 0) for s in plan.sheets)


def test_two_halves_need_their_kerf() -> None:
    """Two 48 in pieces never come from a 96 in sheet with a kerf (8.2)."""
    assert planned({Part(48, 48): 2}).cost == 1
    assert planned({Part(48, 48): 2}, kerf=1).cost == 2


def test_two_parts_and_the_one_kerf_between_them_fill_a_sheet() -> None:
    """47 + 1 + 48 = 96; with 48 + 1 + 48 they are alone."""
    assert planned({Part(47, 48): 1, Part(48, 48): 1}, kerf=1).cost == 1
    assert planned({Part(96, 23): 1, Part(96, 24): 1}, kerf=1).cost == 1


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_a_sheet_is_worth_all_the_copies_that_are_wanted(count: int) -> None:
    """Four parts of 24 x 48 go into a sheet of 96 x 48; positions reach as far as the wanted."""
    table = Table({Part(24, 48): count}, [(96, 48), (24 * count, 48)], 0, 200)
    assert table.price([7])[1] == 7 * count


@pytest.mark.parametrize(
    ("width", "strips"), [(12, 3), (11.875, 4), (15.75, 3), (16, 2), (24, 1), (23.9375, 2), (48, 1)]
)
def test_strips_of_a_sheet(width: float, strips: int) -> None:
    """floor((48 + kerf) / (w + kerf)) strips with a kerf of 1/8 in (11.6)."""
    stock = SheetStock("full", 96 * INCH, 48 * INCH, 1)
    part = inches(96, width)
    assert planned({part: strips}, stock, kerf=INCH // 8).cost == 1
    assert planned({part: strips + 1}, stock, kerf=INCH // 8).cost == 2


def test_the_last_kerf_takes_what_is_there() -> None:
    """A rest narrower than the kerf is dust: 48 - 47 = 1 of a kerf of 2."""
    (sheet,) = planned({Part(96, 47): 1}, kerf=2).sheets
    assert sheet.rests == ()
    assert sheet.kerf == 2 * 96 * 1
    assert [(c.cut, c.at) for c in sheet.cuts] == [("rip", 47)]


def test_the_larger_rest_stays_whole() -> None:
    """Of 96 x 48 with a 40 x 20 part: a 55 x 48 rest and one of 40 x 27, one kerf of 1 each."""
    (sheet,) = planned({Part(40, 20): 1}, kerf=1).sheets
    assert sheet.rests == ((41, 0, 55, 48), (0, 21, 40, 27))
    assert [(c.block, c.cut, c.at) for c in sheet.cuts] == [
        ((0, 0, 96, 48), "crosscut", 40),
        ((0, 0, 40, 48), "rip", 20),
    ]
    assert sheet.kerf == 2 * (48 + 40)


def test_parts_are_never_turned() -> None:
    assert nest({Part(48, 96): 1}, (FULL,), 0, EFFORTS["standard"]) is None
    assert planned({Part(40, 48): 1, Part(56, 48): 1}).cost == 1
    assert planned({Part(40, 30): 1, Part(60, 30): 1}).cost == 2


def test_what_only_a_pinwheel_holds_takes_two_sheets() -> None:
    """Four parts round a hole fill the sheet, but no through-cut parts them."""
    ring = {Part(60, 20): 2, Part(36, 28): 2}
    assert sum(p.length * p.width * n for p, n in ring.items()) < 96 * 48
    plan = planned(ring)
    assert (plan.cost, plan.bound) == (2, 2)


def test_the_cheaper_stock_is_taken_until_it_is_used_up() -> None:
    hand = SheetStock("at hand", 48, 48, 0, 2)
    plan = planned({Part(48, 48): 5}, hand, FULL)
    assert Counter(s.stock for s in plan.sheets) == {0: 2, 1: 2}
    assert plan.optimal


def test_a_part_alone_takes_the_cheapest_sheet_that_holds_it() -> None:
    stocks = (SheetStock("long", 120, 48, 41), SheetStock("full", 96, 48, 32))
    plan = planned({Part(90, 40): 2, Part(100, 40): 1}, *stocks, kerf=1)
    assert Counter(s.stock for s in plan.sheets) == {1: 2, 0: 1}
    assert plan.bound == plan.cost == 2 * 32 + 41
    assert plan.work == 0


@pytest.mark.parametrize("effort", sorted(EFFORTS))
def test_supply_that_does_not_reach_gives_none(effort: str) -> None:
    two = SheetStock("full", 96, 48, 1, 2)
    assert nest({Part(60, 30): 3}, (two,), 0, EFFORTS[effort]) is None
    assert nest({Part(97, 10): 1}, (two,), 0, EFFORTS[effort]) is None
    assert planned({Part(60, 30): 2}, two, effort=effort).cost == 2


@pytest.mark.parametrize("price", [1, 10**13])
def test_the_highest_price_is_as_good_as_the_lowest(price: int) -> None:
    """1 000 000 000 with four decimals is the dearest sheet that a request can name.

    Sheets at 4 and 5 come to 4, 5, 8, 9, 10, 13 ...; two at 5 are too small for the parts.
    """
    parts = {Part(5, 5): 120, Part(60, 30): 2, Part(33, 18): 9}
    stocks = (SheetStock("full", 96, 48, 4 * price, 2), SheetStock("long", 120, 48, 5 * price, 2))
    plan = planned(parts, *stocks)
    assert sum(p.length * p.width * n for p, n in parts.items()) > 2 * 120 * 48
    assert plan.cost == plan.bound == 13 * price


@pytest.mark.parametrize(
    ("part", "count", "kerf"), [((96, 1), 768, 0), ((1, 1), 1536, 0), ((1, 48), 1536, 0)]
)
def test_many_narrow_strips_are_no_trouble(part: tuple[int, int], count: int, kerf: int) -> None:
    """Strips of 1/16 in, a whole sheet full of them."""
    stock = SheetStock("full", 96 * 16, 48 * 16, 1)
    size = Part(part[0] * (16 if part[0] > 1 else 1), part[1] * (16 if part[1] > 1 else 1))
    assert planned({size: count}, stock, kerf=kerf).cost == 1


def test_parts_that_a_free_sheet_holds_add_nothing_to_the_bound() -> None:
    """Two parts of 90 x 40 need a full sheet each; those of 50 x 30 come from free ones."""
    stocks = (SheetStock("free", 60, 40, 0), SheetStock("full", 96, 48, 32))
    master = SheetMaster({Part(50, 30): 3, Part(90, 40): 2}, stocks, 1, [])
    assert master.bound(50, None) == 2 * 32


def test_parts_too_small_for_a_raster_are_not_priced() -> None:
    """In steps of 48 by 24 a part of 90 x 40 is 1 x 1 and the sheet 2 x 2: two lie across it.

    Along it no second can lie, for only one step is ever wanted there.
    """
    kinds = {Part(1, 1): 5, Part(90, 40): 1, Part(45, 40): 1, Part(31, 40): 1}
    table = Table(kinds, [(96, 48)], 0, 4)
    assert (table.exact, table.priced) == (False, (False, True, False, False))
    assert table.price([0, 7, 0, 0]) == table.price([5, 7, 5, 5]) == [14]
    both = Table(kinds, [(30, 20), (96, 48)], 0, 4)
    assert (both.priced, both.price([0, 7, 0, 0])) == (table.priced, [0, 14])


def test_a_bound_rises_to_a_sum_that_sheets_can_cost() -> None:
    """4 and 5 come to 4, 5, 8, 9, 10, 12, 13 ...; with two of each to 13 but never to 11 or 12."""
    endless = (SheetStock("a", 96, 48, 4), SheetStock("b", 120, 48, 5))
    short = tuple(SheetStock(s.key, s.length, s.width, s.cost, 2) for s in endless)
    bounds = (Fraction(-3), Fraction(0), Fraction(1, 9), Fraction(6), Fraction(9), Fraction(21, 2))
    assert [attainable(b, endless) for b in bounds] == [0, 0, 4, 8, 9, 12]
    assert [attainable(b, short) for b in bounds] == [0, 0, 4, 8, 9, 13]
    fine = (SheetStock("a", 96, 48, 10**12 + 1), SheetStock("b", 120, 48, 10**12))
    assert attainable(Fraction(10**13) + Fraction(1, 2), fine) == 10**13 + 1


def test_trees_are_flat_where_cuts_have_one_direction() -> None:
    a, b = Leaf(Part(10, 10)), Leaf(Part(20, 5))
    row = joined("crosscut", [a, joined("crosscut", [b, None, b])])
    assert row == Split("crosscut", (a, b, b))
    assert joined("rip", [None, a]) == a
    assert joined("rip", []) is None
    assert extent(Split("rip", (a, b)), 1) == (21, 17)


def test_what_a_tree_has_no_parts_or_no_room_for_is_left_out() -> None:
    a, b = Leaf(Part(10, 10)), Leaf(Part(20, 5))
    row = Split("crosscut", (a, b, b))
    left = Counter({b.part: 1})
    assert clipped(row, left) == b
    assert not left[b.part]
    assert fitted(row, 11 + 21, 11, 1) == Split("crosscut", (a, b))
    assert fitted(row, 30, 8, 1) == b
    assert fitted(row, 5, 5, 1) is None


def test_a_rest_over_later_parts_comes_off_in_one() -> None:
    """A wide part, then two narrow ones: the strip above both is one rest."""
    tree = Split("crosscut", (Leaf(Part(40, 48)), Leaf(Part(20, 18)), Leaf(Part(34, 18))))
    sheet = nested(tree, 0, 96, 48, 1)
    assert sheet.rests == ((41, 19, 55, 29),)
    assert [c.cut for c in sheet.cuts] == ["crosscut", "rip", "crosscut"]
    assert sheet.kerf == 2 * (96 * 48 - 40 * 48 - 54 * 18 - 55 * 29)
