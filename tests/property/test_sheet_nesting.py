"""Parts nested into sheets, by an independent verifier and by trying everything."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stock
from service.cutting.sheets import fill
from service.cutting.sheets import master as sheet_master
from service.cutting.sheets.nesting import Part, SheetPlan, SheetStock, nest
from service.cutting.sheets.trees import parts_of
from service.cutting.sticks.solve import solve
from tests.independent.sheet_verifier import (
    least_cost,
    least_within_supply,
    sawing_faults,
    sheet_faults,
)
from tests.strategies.budget import FEW, LAW

LENGTH, WIDTH = 96, 48

SIZES = st.builds(Part, st.integers(6, LENGTH), st.integers(4, WIDTH))
JOBS = st.dictionaries(SIZES, st.integers(1, 6), min_size=1, max_size=7)
KERFS = st.sampled_from([0, 1, 2])


def solved(parts: dict[Part, int], kerf: int, *stocks: SheetStock, effort: str = "standard") -> Any:
    made = nest(parts, stocks or (SheetStock("full", LENGTH, WIDTH, 1),), kerf, EFFORTS[effort])
    assert made is not None
    return made


def faults(plan: SheetPlan, parts: dict[Part, int], kerf: int, *stocks: SheetStock) -> list[str]:
    found = []
    for sheet in plan.sheets:
        boxes = [(p.at, p.across, p.part.length, p.part.width) for p in sheet.placed]
        stock = stocks[sheet.stock]
        found += sheet_faults(stock.length, stock.width, kerf, boxes, sheet.rests, sheet.kerf)
        cuts = [(one.block, one.cut, one.at) for one in sheet.cuts]
        left = [*boxes, *sheet.rests]
        found += sawing_faults(stock.length, stock.width, kerf, cuts, left, sheet.kerf)
    if Counter(p.part for sheet in plan.sheets for p in sheet.placed) != Counter(parts):
        found.append("not every part is there once")
    if plan.cost != sum(stocks[sheet.stock].cost for sheet in plan.sheets):
        found.append("the cost is not that of the sheets")
    return found


@LAW
@given(parts=JOBS, kerf=KERFS)
def test_every_part_lies_in_a_sheet_that_can_be_sawn(parts: dict[Part, int], kerf: int) -> None:
    stock = SheetStock("full", LENGTH, WIDTH, 1)
    plan = solved(parts, kerf, stock)
    assert faults(plan, parts, kerf, stock) == []
    assert plan.bound <= plan.cost


FEW_SIZES = st.lists(
    st.tuples(st.integers(10, LENGTH), st.integers(8, WIDTH)), min_size=1, max_size=5
)
ANY_SIZES = st.lists(
    st.tuples(st.integers(1, LENGTH), st.integers(1, WIDTH)), min_size=1, max_size=5
)
COSTS = st.sampled_from([1, 97, 97_000_000, 10**13])


@LAW
@given(parts=JOBS, kerf=KERFS, cost=st.integers(60, 130))
def test_what_parts_can_cover_of_a_sheet_passes_over_no_better_one(
    parts: dict[Part, int], kerf: int, cost: int
) -> None:
    """Fills are those of a search that fills every size; none covers more than is said."""
    stocks = [SheetStock("full", LENGTH, WIDTH, 100), SheetStock("long", 119, WIDTH, cost)]
    most = fill.coverable(parts, stocks, kerf)
    found = list(fill.fills(parts, stocks, kerf, {}))
    for number, tree in (cutup for plan in found for cutup in plan):
        assert sum(part.length * part.width for part in parts_of(tree)) <= most[number]
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(fill, "coverable", lambda *_: [1 << 40] * len(stocks))
        assert list(fill.fills(parts, stocks, kerf, {})) == found


@FEW
@given(sizes=FEW_SIZES, kerf=KERFS, cost=COSTS)
def test_the_bound_is_never_over_the_least_cost(
    sizes: list[tuple[int, int]], kerf: int, cost: int
) -> None:
    """By trying every way of grouping and sawing; the currency changes nothing."""
    plan = solved(dict(Counter(Part(*size) for size in sizes)), kerf,
                  SheetStock("full", LENGTH, WIDTH, cost))  # fmt: skip
    fewest = least_cost([(LENGTH, WIDTH, 1)], kerf, sizes)
    assert fewest is not None
    assert plan.bound <= fewest * cost <= plan.cost <= (fewest + 1) * cost


@FEW
@given(sizes=FEW_SIZES, kerf=KERFS, cost=st.integers(0, 60))
def test_the_bound_holds_over_several_stocks(
    sizes: list[tuple[int, int]], kerf: int, cost: int
) -> None:
    """By trying every way of grouping and sawing; one stock may cost nothing."""
    stocks = (SheetStock("full", LENGTH, WIDTH, 32), SheetStock("half", 60, 40, cost))
    plan = solved(dict(Counter(Part(*size) for size in sizes)), kerf, *stocks)
    least = least_cost([(s.length, s.width, s.cost) for s in stocks], kerf, sizes)
    assert least is not None
    assert plan.bound <= least <= plan.cost


@LAW
@given(sizes=FEW_SIZES, kerf=KERFS, cost=st.integers(0, 40), second=st.integers(0, 40))
def test_the_bound_holds_with_short_supply(
    sizes: list[tuple[int, int]], kerf: int, cost: int, second: int
) -> None:
    """One sheet each of two kinds at hand, by trying every way of grouping and sawing."""
    stocks = (
        SheetStock("one", LENGTH, WIDTH, cost, 1),
        SheetStock("two", 90, WIDTH, second, 1),
        SheetStock("full", LENGTH, WIDTH, 32),
    )
    plan = solved(dict(Counter(Part(*size) for size in sizes)), kerf, *stocks)
    sheets = [(s.length, s.width, s.cost, s.supply) for s in stocks]
    assert plan.bound <= least_within_supply(sheets, kerf, sizes) <= plan.cost


@FEW
@given(sizes=ANY_SIZES, kerf=KERFS)
def test_the_bound_holds_on_a_raster(sizes: list[tuple[int, int]], kerf: int) -> None:
    """With so few positions that every size is rounded, and the smallest to nothing."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(sheet_master, "MOST_POSITIONS", 8)
        plan = solved(dict(Counter(Part(*size) for size in sizes)), kerf)
    least = least_cost([(LENGTH, WIDTH, 1)], kerf, sizes)
    assert least is not None
    assert plan.bound <= least <= plan.cost


@LAW
@given(lengths=st.dictionaries(st.integers(6, LENGTH), st.integers(1, 6), min_size=1, max_size=5),
       kerf=KERFS)  # fmt: skip
def test_parts_of_full_width_are_cut_as_from_sticks(lengths: dict[int, int], kerf: int) -> None:
    """By the cutting of sticks, which knows nothing of sheets."""
    sheets = solved({Part(length, WIDTH): count for length, count in lengths.items()}, kerf)
    needs = {Need(length): count for length, count in lengths.items()}
    sticks = solve([Stock("full", LENGTH, LENGTH, 1)], needs, kerf, EFFORTS["standard"])
    assert sticks is not None
    assert sheets.bound <= sticks.cost
    assert sticks.bound <= sheets.cost
    if sheets.optimal and sticks.optimal:
        assert sheets.cost == sticks.cost


@FEW
@given(parts=JOBS, kerf=KERFS)
def test_no_effort_finds_a_plan_under_the_bound_of_another(
    parts: dict[Part, int], kerf: int
) -> None:
    plans = [solved(parts, kerf, effort=effort) for effort in EFFORTS]
    assert max(plan.bound for plan in plans) <= min(plan.cost for plan in plans)
    assert plans == [solved(parts, kerf, effort=effort) for effort in EFFORTS]


@LAW
@given(parts=JOBS, kerf=KERFS)
def test_a_further_size_never_costs_more_where_it_is_proved(
    parts: dict[Part, int], kerf: int
) -> None:
    full = SheetStock("full", LENGTH, WIDTH, 32)
    plain = solved(parts, kerf, full)
    more = solved(parts, kerf, full, SheetStock("long", 120, WIDTH, 41))
    assert more.bound <= plain.cost
    if more.optimal:
        assert more.cost <= plain.cost


@LAW
@given(parts=JOBS, kerf=KERFS, supply=st.integers(0, 3))
def test_short_supply_is_never_exceeded(parts: dict[Part, int], kerf: int, supply: int) -> None:
    stocks = (
        SheetStock("at hand", LENGTH, WIDTH, 0, supply),
        SheetStock("full", LENGTH, WIDTH, 1),
    )
    plan = solved(parts, kerf, *stocks)
    assert faults(plan, parts, kerf, *stocks) == []
    assert sum(sheet.stock == 0 for sheet in plan.sheets) <= supply


@LAW
@given(parts=JOBS, kerf=KERFS)
def test_the_order_of_the_parts_and_a_scale_change_nothing(
    parts: dict[Part, int], kerf: int
) -> None:
    plain = solved(parts, kerf)
    turned = solved(dict(reversed(parts.items())), kerf)
    assert plain == turned
    tenfold = {Part(10 * p.length, 10 * p.width): n for p, n in parts.items()}
    large = solved(tenfold, 10 * kerf, SheetStock("full", 10 * LENGTH, 10 * WIDTH, 1))
    assert (large.cost, large.bound) == (plain.cost, plain.bound)
