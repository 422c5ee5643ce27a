"""Raw ends of sticks (8.1): what they spare, and every tiny plan against trying everything.

A piece whose end is spared takes less of a raw end of a stick, if it lies there. A stick has two
raw ends, and only one piece lies at each.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stock, fits, ordered
from service.cutting.sticks.bounds import material_bound
from service.cutting.sticks.solve import solve
from tests.strategies.budget import LAW

Job = tuple[tuple[Stock, ...], tuple[Need, ...], int]

SPARES = ((2, 2), (5, 5), (4, 0), (0, 3), (1, 6))


@st.composite
def jobs(draw: st.DrawFn, most: int = 6) -> Job:
    """One to three stocks whose raw ends spare something, and pieces with every sort of ends."""
    turned = draw(st.booleans())
    stocks = tuple(
        Stock(str(k), length, length - 12, draw(st.integers(1, 60)), None, 0,
              draw(st.sampled_from(SPARES)), turned)
        for k, length in enumerate(sorted(draw(st.sets(st.integers(60, 110), min_size=1,
                                                       max_size=3))))
    )  # fmt: skip
    longest = stocks[-1].usable
    lengths = st.one_of(st.integers(8, longest), st.integers(longest // 2 - 3, longest // 2 + 6))
    needs = draw(
        st.lists(
            st.builds(
                lambda length, low, high: Need(length, False, False, low, high),
                lengths, st.booleans(), st.booleans(),
            ),
            min_size=1, max_size=most,
        )
    )  # fmt: skip
    return stocks, tuple(needs), draw(st.sampled_from([0, 1, 3]))


def room(stock: Stock, row: Sequence[Need]) -> int:
    """What a stick has for pieces in this order, its ends trimmed for the outer two.

    Where they may be turned, each of the outer ones lies as is best.
    """
    low, high = stock.spare
    first, last = (
        [(row[0].low_spared, row[0].high_spared)],
        [(row[-1].low_spared, row[-1].high_spared)],
    )
    if stock.turned:
        first, last = [*first, first[0][::-1]], [*last, last[0][::-1]]
    if len(row) == 1:
        return stock.usable + max(low * a + high * b for a, b in first)
    return stock.usable + max(low * a for a, _ in first) + max(high * b for _, b in last)


def lies(stock: Stock, row: Sequence[Need], kerf: int) -> bool:
    """Whether pieces in this order fit."""
    return sum(need.length for need in row) + kerf * (len(row) - 1) <= room(stock, row)


def held(stock: Stock, pieces: Sequence[Need], kerf: int) -> bool:
    """Whether pieces fit in any order, each order tried."""
    return any(lies(stock, row, kerf) for row in permutations(pieces))


def parted(pieces: tuple[Need, ...]) -> Iterator[list[tuple[Need, ...]]]:
    """Every way of parting pieces into sticks."""
    if not pieces:
        yield []
        return
    first, rest = pieces[0], pieces[1:]
    for mask in range(1 << len(rest)):
        own = (first, *(one for k, one in enumerate(rest) if mask >> k & 1))
        left = tuple(one for k, one in enumerate(rest) if not mask >> k & 1)
        yield from ([own, *others] for others in parted(left))


def least(stocks: Sequence[Stock], pieces: tuple[Need, ...], kerf: int) -> int | None:
    """The least cost of all plans."""
    best: int | None = None
    known: dict[tuple[Need, ...], int | None] = {}

    def price(own: tuple[Need, ...]) -> int | None:
        key = tuple(sorted(own))
        if key not in known:
            costs = [stock.cost for stock in stocks if held(stock, key, kerf)]
            known[key] = min(costs, default=None)
        return known[key]

    for sticks in parted(pieces):
        costs = [price(own) for own in sticks]
        if None not in costs:
            total = sum(cost for cost in costs if cost is not None)
            best = total if best is None else min(best, total)
    return best


@LAW
@given(job=jobs(), effort=st.sampled_from(sorted(EFFORTS)))
def test_a_plan_is_between_its_bound_and_the_least_of_all(job: Job, effort: str) -> None:
    """Bound <= least cost of all orders of all sticks <= cost; each stick lies as it is ordered."""
    stocks, pieces, kerf = job
    plan = solve(stocks, Counter(pieces), kerf, EFFORTS[effort])
    best = least(stocks, pieces, kerf)
    assert (plan is None) == (best is None)
    if plan is None or best is None:
        return
    assert Counter(need for stick in plan.sticks for need in stick.pieces) == Counter(pieces)
    for stick in plan.sticks:
        assert lies(stocks[stick.stock], stick.pieces, kerf)
    assert plan.cost == sum(stocks[stick.stock].cost for stick in plan.sticks)
    assert plan.bound <= best <= plan.cost
    assert effort != "thorough" or plan.cost == plan.bound


@LAW
@given(job=jobs(most=5))
def test_the_room_of_a_stick_is_that_of_its_best_order(job: Job) -> None:
    """And the order in which the pieces are cut is such a one."""
    stocks, pieces, kerf = job
    for stock in stocks:
        best = max(room(stock, row) for row in permutations(pieces))
        assert stock.room(Counter(pieces)) == best
        row = ordered(Counter(pieces), stock)
        assert Counter(row) == Counter(pieces)
        assert room(stock, row) == best
        lengths = sum(need.length for need in pieces)
        assert fits(lengths, len(pieces), kerf, best) == held(stock, pieces, kerf)


@LAW
@given(job=jobs())
def test_nothing_spared_is_the_plain_job(job: Job) -> None:
    """Stock that spares nothing, and pieces without spared ends, cost alike; sparing is no loss."""
    stocks, pieces, kerf = job
    bare = tuple(replace(stock, spare=(0, 0)) for stock in stocks)
    plain = Counter(Need(need.length) for need in pieces)
    efforts = EFFORTS["thorough"]
    one, other = solve(bare, Counter(pieces), kerf, efforts), solve(stocks, plain, kerf, efforts)
    spared = solve(stocks, Counter(pieces), kerf, efforts)
    assert (None if one is None else one.cost) == (None if other is None else other.cost)
    if one is not None:
        assert spared is not None
        assert spared.cost <= one.cost
        assert material_bound(stocks, Counter(pieces), kerf) <= spared.cost
