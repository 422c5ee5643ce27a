"""What is claimed of plans of sheets, over every way of jointing their rows, by trying them all."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st

from service.cutting import mixes as mixed
from service.cutting.mixes import Good, Shelf, least_mix
from service.cutting.sheets.layouts import scales
from service.geometry.breadth import breadth_of
from service.geometry.plane import clip_to_boxes
from service.geometry.rings import Polygon, bounds, clean
from service.geometry.strips import refined
from tests.independent.build_up import layers_behind
from tests.independent.joint_layouts import least_of_all, rows_of, stagger_of, ways_together
from tests.independent.measure import INCH, ticks
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

MOST_WAYS, MOST_PIECES = 400, 7


@st.composite
def small_surfaces(draw: st.DrawFn) -> Request:
    """A rectangle or an L of one to three rows under sheets alone, one or two lengths, priced."""
    length, high = draw(st.integers(60, 230)), draw(st.integers(30, 110))
    a, b = draw(st.integers(0, length // 2)), draw(st.integers(0, high // 2))
    corners = [[0, 0], [length, 0], [length, high - b], [length - a, high - b],
               [length - a, high], [0, high]]  # fmt: skip
    spacing = draw(st.sampled_from([12, 16, 24]))
    first = draw(st.sampled_from([spacing, spacing / 2, 5.25]))
    members = [at for k in range(20) if (at := first + k * spacing) < length]
    stock: list[Request] = [{"length": 95.875, "price": 30}]
    if draw(st.booleans()):
        stock.append({"length": 119.875, "price": draw(st.sampled_from([34, 38, 41]))})
    return {
        "unit": "in",
        "surfaces": [
            {"id": "loft", "type": "ceiling", "view": "facing",
             "outline": corners if a and b else [[0, 0], [length, 0], [length, high], [0, high]],
             "supports": {"direction": 90, "at": members, "thickness": 1.5},
             "layers": [{"kind": "sheathing", "product": "sheet", "direction": 0}]}
        ],
        "products": [{"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
                      "stock": stock}],
        "when_blocked": "relax",
    }  # fmt: skip


def least_by_trying(request: Request, answer: Request) -> int | None:
    """The least cost of any joints and any cutting; None where there are too many to try."""
    (layer,) = layers_behind(request, answer, "sheathing")
    members = [ticks(at, "in") for at in request["surfaces"][0]["supports"]["at"]]
    stock = request["products"][0]["stock"]
    sheets = [(ticks(one["length"], "in"), ticks(47.875, "in"), one["price"]) for one in stock]
    rows = rows_of(layer, members, 3 * INCH // 4, max(length for length, _, _ in sheets))
    ways = None if rows is None else ways_together(rows, stagger_of(members), MOST_WAYS)
    if rows is None or not ways:
        return None
    return least_of_all(rows, ways, sheets, MOST_PIECES)


@LAW
@given(request=small_surfaces())
def test_no_plan_at_all_is_under_the_bound_and_what_is_called_optimal_is_the_least(
    request: Request,
) -> None:
    """Over every way of jointing the rows and every way of sawing their pieces from sheets."""
    answer = answered(request)
    assume(not answer["relaxed"])
    least = least_by_trying(request, answer)
    assume(least is not None)
    (plan,) = answer["cut_plans"]
    assert plan["bound"] <= least <= plan["cost"]
    assert plan["optimal"] == (plan["cost"] <= plan["bound"])


def under_sheets(length: int, width: int) -> Request:
    """A ceiling under sheets of 8 by 4 ft at 30 each, on members at 16 in."""
    return {
        "unit": "in",
        "surfaces": [
            {"id": "loft", "type": "ceiling", "view": "facing", "rectangle": [length, width],
             "supports": {"direction": 90, "spacing": 16, "first": 16, "ends": True},
             "layers": [{"kind": "sheathing", "product": "sheet", "direction": 0}]}
        ],
        "products": [{"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
                      "stock": [{"length": 95.875, "price": 30}]}],
    }  # fmt: skip


def test_what_is_shown_for_the_joints_as_laid_is_not_claimed_for_all() -> None:
    """50 by 74 ft is 115.6 sheets of area, and too many pieces for all joints to be searched.

    With these joints the strips take more sheets; that no joints do better is not shown, and not
    said.
    """
    (plan,) = answered(under_sheets(600, 888))["cut_plans"]
    assert not plan["optimal"]
    assert 116 * 30 <= plan["bound"] < plan["cost"]
    assert "With the joints as they are laid no plan can do with less." in plan["in_words"]


def test_joints_are_found_that_leave_strips_side_by_side() -> None:
    """22 by 10 ft: two whole rows and strips of half a sheet are 6.9 sheets of area: seven do."""
    (plan,) = answered(under_sheets(264, 120))["cut_plans"]
    assert plan["cost"] == plan["bound"] == 7 * 30


@LAW
@given(full=st.integers(10, 120), sizes=st.lists(st.integers(1, 60), min_size=1, max_size=8))
def test_no_scale_gives_parts_of_a_side_more_than_the_side(full: int, sizes: list[int]) -> None:
    """As many of the sizes as fit together, in any number that does."""
    held: list[int] = []
    for size in sizes:
        if sum(held) + size <= full:
            held.append(size)
    for scale in scales(full, set(sizes)):
        assert sum(map(scale, held)) <= scale(full)
        assert scale(sum(held)) <= scale(full)


GOODS = st.lists(
    st.builds(Good, st.integers(0, 9), st.integers(0, 30), st.none() | st.integers(0, 3)),
    min_size=1, max_size=3,
)  # fmt: skip


def mixes(goods: Sequence[Good], most: int) -> list[tuple[int, int]]:
    """Cost and worth of every mix of up to so many of each."""
    counts = product(*(range(min(most, most if g.supply is None else g.supply) + 1) for g in goods))
    return [
        (sum(n * g.cost for n, g in zip(own, goods, strict=True)),
         sum(n * g.worth for n, g in zip(own, goods, strict=True)))
        for own in counts
    ]  # fmt: skip


@LAW
@given(goods=GOODS, wanted=st.integers(1, 40))
def test_the_cheapest_mix_of_whole_goods_by_trying_all(goods: list[Good], wanted: int) -> None:
    """Forty of each are enough for a worth of forty."""
    costs = [cost for cost, worth in mixes(goods, 40) if worth >= wanted]
    assume(costs)
    assert least_mix(goods, wanted) == min(costs)


@LAW
@given(goods=GOODS, wanted=st.integers(0, 40), under=st.integers(0, 30))
def test_mixes_come_cheapest_first_with_the_most_that_each_cost_can_buy(
    goods: list[Good], wanted: int, under: int
) -> None:
    """Each is within its supply; none is left out that costs less and is worth enough."""
    if any(not g.cost and g.worth and g.supply is None for g in goods):
        assert not list(mixed.mixes(goods, wanted, under))
        return
    counted = [list(zip(own, goods, strict=True)) for own in mixed.mixes(goods, wanted, under)]
    assert all(g.supply is None or n <= g.supply for own in counted for n, g in own)
    found = [(sum(n * g.cost for n, g in own), sum(n * g.worth for n, g in own)) for own in counted]
    every = [one for one in mixes(goods, 40) if one[0] < under and one[1] >= wanted]
    most = {cost: max(worth for spent, worth in every if spent == cost) for cost, _ in every}
    if any(g.cost and g.worth for g in goods):
        assert found == sorted(most.items())


@LAW
@given(goods=GOODS, cost=st.integers(0, 12))
def test_the_most_that_a_cost_can_buy_by_trying_all(goods: list[Good], cost: int) -> None:
    """Where something without end costs nothing there is no most."""
    found = Shelf(goods).most_worth(cost)
    if any(not g.cost and g.worth and g.supply is None for g in goods):
        assert found is None
    else:
        assert found == max(worth for spent, worth in mixes(goods, 12) if spent <= cost)


CORNERS = st.lists(
    st.tuples(st.integers(0, 4000), st.integers(0, 1500)), min_size=1, max_size=5, unique=True
)


@LAW
@given(heights=CORNERS, cuts=st.sets(st.integers(1, 3999), min_size=1, max_size=6))
def test_the_breadth_between_cuts_is_that_of_the_piece_cut_there(
    heights: list[tuple[int, int]], cuts: set[int]
) -> None:
    """Under a line of ups and downs, against the polygon clipped by the topology library."""
    tops = dict(heights) | {0: 500, 4000: 900}
    ring = clean([(0, -100), (4000, -100), *sorted(tops.items(), reverse=True)])
    stations = sorted(cuts)
    breadth = breadth_of(Polygon(ring), stations)
    ends = [0, *stations, 4000]
    for low in ends:
        for high in (at for at in ends if at > low):
            whole = refined((Polygon(ring),), stations, axis=0)
            (part,) = clip_to_boxes(whole, [(low, high, -200, 2000)])
            assert breadth.between(low, high) == bounds(part)[2:]


@FEW
@given(request=small_surfaces(), high=st.booleans())
def test_rows_of_a_plan_begin_on_the_side_that_was_drawn(request: Request, high: bool) -> None:
    """Sheets across members that run along x stand upright: a plan turns their sides round.

    `start_side` is mirrored with all else, whether the direction was sent or not.
    """
    area = request["surfaces"][0]
    wide = max(x for x, _ in area["outline"])
    supports = {"direction": 0, "spacing": 16}
    side = {"low": "high", "high": "low"}
    for sent in ({}, {"direction": 90}):
        layer = {"kind": "sheathing", "product": "sheet", "start_side": "high" if high else "low"}
        facing = area | {"supports": supports, "layers": [layer | sent]}
        plan = facing | {
            "view": "plan", "outline": [[wide - x, y] for x, y in area["outline"]],
            "layers": [layer | sent | {"start_side": side[layer["start_side"]]}],
        }  # fmt: skip
        one, other = (answered(request | {"surfaces": [own]}) for own in (facing, plan))
        for table in ("courses", "pieces", "sheets", "order", "ledger"):
            assert one[table] == other[table], table
