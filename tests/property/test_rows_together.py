"""Rows jointed and sheets cut in one programme: what it finds keeps apart and can be sawn."""

from __future__ import annotations

from collections import Counter
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.sheets.fill import fills
from service.cutting.sheets.stock import SheetStock
from service.cutting.sheets.trees import Part
from service.cutting.sheets.values import Table
from service.cutting.sheets.ways import Jointing
from service.cutting.sheets.whole_rows import Limit, Rows, whole_rows
from tests.independent.sheet_verifier import least_cost
from tests.strategies.asking import answered
from tests.strategies.budget import examples

Request = dict[str, Any]

LONGEST, WIDE = 10, 4
SHEETS = [(8, WIDE, 30), (LONGEST, WIDE, 36)]
MEMBERS = (3, 6, 9, 12, 15)


def row_of(width: int) -> Jointing:
    """Fifteen long over members three apart, joints at any of them; no piece over ten."""
    at = (0, *MEMBERS)
    numbers = range(len(at))
    return Jointing(
        tuple((a, b, Part(at[b] - at[a], width)) for a in numbers for b in numbers
              if 0 < at[b] - at[a] <= LONGEST),
        len(at) - 1,
    )  # fmt: skip


def ways(run: Jointing) -> list[tuple[tuple[int, ...], list[Part]]]:
    """Joints and parts of every way of jointing a row, by following its steps."""
    begun: list[tuple[int, tuple[int, ...], list[Part]]] = [(0, (), [])]
    found = []
    while begun:
        node, joints, parts = begun.pop()
        for start, end, part in run.steps:
            if start == node and part is not None:
                more = [*parts, part]
                if end == run.last:
                    found.append((joints, more))
                else:
                    begun.append((end, (*joints, end), more))
    return found


def least(parts: list[Part]) -> int:
    """The least cost of sheets for a few parts, by trying all."""
    cost = least_cost(SHEETS, 0, sorted((part.length, part.width) for part in parts))
    assert cost is not None
    return cost


@examples(30)
@given(widths=st.lists(st.integers(1, WIDE), min_size=1, max_size=2), spare=st.integers(0, 40))
def test_rows_cost_no_less_than_is_shown_and_do_not_clash(widths: list[int], spare: int) -> None:
    """No two rows meet at one member, and nothing costs less than is said, by trying all sheets."""
    runs = [row_of(width) for width in widths]
    apart = [
        chosen for chosen in product(*map(ways, runs))
        if len(runs) < 2 or not set(chosen[0][0]) & set(chosen[1][0])
    ]  # fmt: skip
    costs = [least([part for _, own in chosen for part in own]) for chosen in apart
             if sum(len(own) for _, own in chosen) <= 5]  # fmt: skip
    limits = [Limit(((0, node), (1, node)), 1) for node in range(1, 5)] if len(runs) > 1 else []
    stocks = [SheetStock(str(k), *one) for k, one in enumerate(SHEETS)]
    start = [
        cutup for _, own in ways(runs[0]) for plan in fills(Counter(own), stocks, 0, {})
        for cutup in plan
    ]  # fmt: skip
    under = min(costs) + spare
    found = whole_rows(runs, limits, stocks, 0, start, range(under))
    assert found.least <= min(costs)
    assert whole_rows(runs, limits, stocks, 0, start, range(1)) == Rows(None, 1)
    if found.joints is None:
        return
    own = [dict(ways(run))[joints] for run, joints in zip(runs, found.joints, strict=True)]
    assert least([part for parts in own for part in parts]) < under
    assert len(runs) < 2 or not set(found.joints[0]) & set(found.joints[1])


@pytest.mark.parametrize("mirrored", [False, True])
def test_rows_of_an_angle_come_from_seven_sheets(mirrored: bool) -> None:
    """197 x 129 in and 139 x 139 in beside it: 44,734 square inches less the gaps at the walls.

    Sheets of 143.875 x 47.875 in hold 6,888 each, so that six hold 41,328: none do with less than
    seven. Joints that are chosen row by row take eight.
    """
    corners = [[0, 0], [197, 0], [197, 129], [139, 129], [139, 268], [0, 268]]
    side, members = 197 * mirrored, [0.75, *range(16, 196, 16), 196.25]
    outline = [[abs(side - x), y] for x, y in corners][:: -1 if mirrored else 1]
    request: Request = {
        "unit": "in",
        "surfaces": [
            {"id": "hall", "type": "ceiling", "view": "facing", "outline": outline,
             "supports": {"direction": 90, "at": [abs(side - at) for at in members]},
             "layers": [{"kind": "sheathing", "product": "sheet"}]}
        ],
        "products": [{"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
                      "stock": [{"length": 143.875, "price": 50}]}],
    }  # fmt: skip
    (plan,) = answered(request)["cut_plans"]
    assert plan["bound"] <= plan["cost"]
    assert plan["cost"] == 350


def test_parts_too_short_for_a_raster_are_worth_nothing() -> None:
    """Ten positions along 1,000 are 125 apart: a length of one tick is none, whatever its width."""
    table = Table({Part(1, 500): 20, Part(1, 250): 20}, [(1000, 1000)], 0, 10)
    assert table.price([5, 3]) == [0]
