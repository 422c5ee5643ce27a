"""No stick with shared slanted cuts is worth more than its chains say, whatever its order (4.5).

And what plans cost at least for that is under every plan of the same job, however it is told.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations_with_replacement
from typing import Any
from unittest import mock

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import Effort
from service.cutting.records import Need, Stock
from service.cutting.sticks.bench import bench_for
from service.cutting.sticks.chains import price_with_shared_cuts
from service.joints import leaning, nesting
from service.joints.job import Pool
from tests.independent.nesting import Slanted, least_extent
from tests.property.test_shared_slanted_cuts import hall
from tests.strategies import requests
from tests.strategies.asking import answered
from tests.strategies.budget import examples
from tests.strategies.transforms import in_millimetres

Request = dict[str, Any]

KERF, STEP = 2, 50_000
PLAIN = [Need(61 * STEP), Need(62 * STEP)]
"""Two pieces so long that a step is the unit of all lengths."""

LEANS = st.sampled_from([-30, -13, 0, 0, 13, 30])


@st.composite
def needs(draw: st.DrawFn) -> Need:
    """Pieces of which ends are square, or lean either way, by more or less."""
    low, high = draw(LEANS), draw(LEANS)
    return Need(draw(st.integers(63, 150)) * STEP, low_cut=low * STEP, high_cut=high * STEP)


@examples(40)
@given(
    pieces=st.lists(needs(), min_size=1, max_size=3, unique=True), turned=st.booleans(),
    worths=st.lists(st.integers(0, 1000), min_size=3, max_size=3),
)  # fmt: skip
def test_no_stick_is_worth_more_than_its_chains_say(
    pieces: list[Need], worths: list[int], turned: bool
) -> None:
    """Up to four pieces in every order, each either way round where boards may be turned."""
    stocks = tuple(
        Stock(str(k), size * STEP, size * STEP, 1, turned=turned)
        for k, size in enumerate((200, 300))
    )
    worths = [*worths[: len(pieces)], 1, 1]
    bench = bench_for(stocks, [*pieces, *PLAIN], KERF * STEP)
    priced = price_with_shared_cuts(bench, worths, [0, 0])
    best = [0, 0]
    for own in _held(pieces):
        extent = least_extent([_edges(pieces[k]) for k in own], KERF, turns=turned)
        for k, size in enumerate((200, 300)):
            if extent <= size + 1e-6:
                best[k] = max(best[k], sum(worths[k] for k in own))
    assert best[0] <= priced.most[0]
    assert best[1] <= priced.most[1]
    found = (_worth(one.pieces, [*pieces, *PLAIN], worths) for one in priced.patterns)
    assert max(priced.most) <= max(found)


def _held(pieces: list[Need]) -> Iterator[tuple[int, ...]]:
    """The numbers of up to four pieces."""
    for count in (1, 2, 3, 4):
        yield from combinations_with_replacement(range(len(pieces)), count)


def _worth(held: tuple[tuple[Need, int], ...], pieces: list[Need], worths: list[int]) -> int:
    return sum(worths[pieces.index(need)] * count for need, count in held)


def _edges(need: Need) -> Slanted:
    """A piece by its two long edges, in steps."""
    low, high, length = (one / STEP for one in (need.low_cut, need.high_cut, need.length))
    near = (max(0, -low), length - max(0, high))
    return Slanted(near, (near[0] + low, near[1] + high))


def test_a_cut_is_shared_between_like_signs_alone() -> None:
    """By hand: 100 + 2 + 100 less a lean of 20 is 182; where they lean apart it is 202, over 190.

    So is it of two that both lean at their low ends, unless one of them may be turned.
    """
    stock = Stock("0", 190 * STEP, 190 * STEP, 1)
    one, high = Need(100 * STEP, low_cut=20 * STEP), Need(100 * STEP, high_cut=20 * STEP)
    apart, worth = Need(100 * STEP, high_cut=-20 * STEP), (7, 9)
    for pieces, turned, most in (
        ([one, high], False, 16), ([one, apart], False, 9), ([one, one], False, 7),
        ([one, one], True, 14),
    ):  # fmt: skip
        own = [*dict.fromkeys(pieces), *PLAIN]
        stocks = (Stock("0", 190 * STEP, 190 * STEP, 1, turned=turned),) if turned else (stock,)
        bench = bench_for(stocks, own, KERF * STEP)
        assert price_with_shared_cuts(bench, [*worth[: len(own) - 2], 0, 0], [0]).most == (most,)


@pytest.mark.parametrize("square", [False, True])
def test_no_plan_of_a_job_told_otherwise_costs_less_than_its_bound(square: bool) -> None:
    """Its corners from another on and in millimetres, or twice; boards that may be turned too."""
    board = {"profile": "square_edge", "coverage": requests.OVERALL} if square else {}
    request = {**hall(26, 150, 1, 8, 10, board=board), "objective": "least_length"}
    (area,) = request["surfaces"]
    other = {**area, "outline": [*area["outline"][2:], *area["outline"][:2]]}
    others = [in_millimetres({**request, "surfaces": [other]})]
    if square:
        others = [{**request, "surfaces": [area, {**area, "id": "other"}]}]
    times = 2 if square else 25.4
    asked = mock.Mock(wraps=leaning.sharing_cuts)
    with mock.patch.multiple(nesting, NEAR=-1, sharing_cuts=asked):
        plan, told = (answered(one)["cut_plans"][0] for one in (request, *others))
    assert asked.call_count == 2
    assert told["bound"] <= times * (plan["cost"] + 0.1)
    if not square:
        assert times * plan["bound"] <= told["cost"] + 2


def test_short_runs_of_one_piece_each_are_bounded_by_the_cuts_that_they_can_share() -> None:
    """By hand: seven boards of 44-1/4 in whose ends lean by 5-1/8 in, of sticks of 10 ft for 120.

    Two cuts shared, three of them are 3 * 44-1/4 - 2 * 5-1/8 = 122-1/2 in long and do not fit. So
    there are two of a stick, and four sticks. By the middle of each, 39-1/8 in, three would fit.
    """
    answer = answered(hall(37, 40.5, 1, 10))
    assert {piece["length"] for piece in answer["pieces"]} == {44.25}
    assert [(p["cost"], p["bound"]) for p in answer["cut_plans"]] == [(480.0, 480.0)]


def test_short_runs_are_bounded_whichever_way_they_lean_and_by_what_there_is() -> None:
    """By hand: of the boards above a stick of 12 ft holds three, for 150.

    With as many of 10 ft as are wanted that is one of 12 ft and two of 10 ft, 390; with one of
    these two of 12 ft and one of 10 ft, 420. None costs under 50 there, seven no less than 350, and
    no sticks cost more than that and less than 360. Mirrored they lean the other way.
    """
    for slope in (1, -1):
        for there, cost in ((None, 390.0), (1, 420.0)):
            short = {} if there is None else {"on_hand": there}
            sticks = ({"length": "10 ft", "price": 120, **short}, {"length": "12 ft", "price": 150})
            request = hall(37, 40.5, slope, board={"stock": list(sticks)})
            (plan,) = answered(request)["cut_plans"]
            assert plan["cost"] == cost
            assert 360 <= plan["bound"] <= cost


def test_pieces_that_others_stand_for_bound_what_all_of_them_cost() -> None:
    """Where they may lie in over 66 ways: under the plan and near it; layouts have their own."""
    found: list[tuple[leaning.Leaning | None, leaning.Leaning | None, int]] = []

    def asked(pool: Pool, effort: Effort, enough: int) -> leaning.Leaning | None:
        with mock.patch.object(leaning, "MOST_WAYS", 66):
            few = leaning.sharing_cuts(pool, effort, enough)
            assert leaning.in_steps(pool, 66)[1].coarse
        every = leaning.sharing_cuts(pool, effort, enough)
        found.append((few, every, enough))
        return every

    with mock.patch.multiple(nesting, NEAR=-1, sharing_cuts=asked):
        plan = answered({**hall(32, 206, 1, 10, 8), "objective": "least_length"})
    ((few, every, cost),) = found
    assert plan["cut_plans"]
    assert few is not None
    assert every is not None
    assert 0.98 * every.bound <= few.bound <= min(cost, *(one.plan.cost for one in few.layouts))
