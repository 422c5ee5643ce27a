"""Parts nested into sheets, by an independent verifier and by trying everything."""

from __future__ import annotations

from collections import Counter
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from service.cutting.sheets import Part, SheetPlan, SheetStock, nest
from service.cutting.solve import EFFORTS
from tests.independent.sheet_verifier import fewest_sheets, sheet_faults
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


@FEW
@given(sizes=st.lists(st.tuples(st.integers(10, 96), st.integers(8, 48)), min_size=1, max_size=5),
       kerf=KERFS)  # fmt: skip
def test_the_bound_is_never_over_the_fewest_sheets(sizes: list[tuple[int, int]], kerf: int) -> None:
    """By trying every way of grouping and sawing."""
    parts = Counter(Part(*size) for size in sizes)
    plan = solved(dict(parts), kerf)
    fewest = fewest_sheets(LENGTH, WIDTH, kerf, sizes)
    assert plan.bound <= fewest <= plan.cost <= fewest + 1


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


def test_what_fits_nowhere_or_is_out_of_supply_gives_none() -> None:
    full = SheetStock("full", LENGTH, WIDTH, 1, 1)
    assert nest({Part(97, 10): 1}, (full,), 0, EFFORTS["standard"]) is None
    assert nest({Part(96, 48): 2}, (full,), 0, EFFORTS["standard"]) is None


def test_two_halves_need_their_kerf() -> None:
    """Two 48 in pieces never come from a 96 in sheet with a kerf (8.2)."""
    assert solved({Part(48, 48): 2}, 0).cost == 1
    assert solved({Part(48, 48): 2}, 1).cost == 2
