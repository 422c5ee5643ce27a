"""The parts of which a cutting plan is made: fillings, prices, bounds and rolls, one by one.

Each against its definition by trying everything; a stick of n pieces has n - 1 kerfs (8.2).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise, product
from math import gcd

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stick, Stock, fits, kerfs, ordered
from service.cutting.rolls import LEAST_ADVANCE, Laps, Length, RollPiece, RollPlan, roll_out
from service.cutting.sticks import heuristic
from service.cutting.sticks.bench import bench_for
from service.cutting.sticks.bounds import (
    attainable,
    jointed_bound,
    material,
    material_bound,
    mixed,
    step_of,
)
from service.cutting.sticks.dive import MOST_PRICED, NEARLY_WHOLE, dive
from service.cutting.sticks.heuristic import best_fit
from service.cutting.sticks.knapsack import fill
from service.cutting.sticks.master import Master
from service.cutting.sticks.pricing import price
from service.cutting.sticks.solve import least_cost, solve
from service.cutting.strip_groups import parted
from service.units.ticks import INCH
from tests.independent.unrolling import least_rolls
from tests.strategies.budget import examples

MANY = examples(120)

ITEMS = st.lists(
    st.tuples(st.integers(1, 20), st.integers(0, 50), st.integers(0, 4)), min_size=1, max_size=4
)


@MANY
@given(items=ITEMS, capacity=st.integers(0, 60), start=st.integers(0, 9),
       few=st.sampled_from([0, 100]))  # fmt: skip
def test_a_filling_is_worth_the_most_at_every_capacity(
    items: list[tuple[int, int, int]], capacity: int, start: int, few: int
) -> None:
    """And can be told apart again, after any number of passes.

    Also without the items that a lighter one outdoes, which are left out of many.
    """
    weights, values, most = ([item[k] for item in items] for k in range(3))
    every = [
        (sum(n * w for n, w in zip(taken, weights, strict=True)),
         sum(n * v for n, v in zip(taken, values, strict=True)))
        for taken in product(*(range(n + 1) for n in most))
    ]  # fmt: skip
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("service.cutting.sticks.knapsack.MANY_ITEMS", few)
        filled = fill(weights, values, most, capacity, (capacity, capacity // 2))
    for room in range(capacity + 1):
        best = max(value for weight, value in every if weight <= room)
        assert filled.best[room] == best
        _check_pieces(filled.pieces(room), items, room, best)
    for place, room in enumerate((capacity, capacity // 2)):
        ends = list(filled.ends(place, room))
        assert max((worth for worth, _ in ends), default=0) == filled.best[room]
        for worth, number in ends:
            _check_pieces(filled.pieces(room, number), items, room, worth)
    base = fill([1], [start], [capacity], capacity).best
    assert list(fill(weights, values, most, capacity, start=base).best) == [
        max(value + start * (room - weight) for weight, value in every if weight <= room)
        for room in range(capacity + 1)
    ]


def _check_pieces(
    pieces: Counter[int], items: list[tuple[int, int, int]], room: int, worth: int
) -> None:
    assert sum(items[k][0] * n for k, n in pieces.items()) <= room
    assert sum(items[k][1] * n for k, n in pieces.items()) == worth
    assert all(0 < n <= items[k][2] for k, n in pieces.items())


NEEDS = st.lists(
    st.tuples(st.integers(6, 40), st.sampled_from([(False, False)] * 3 + [(True, False),
              (False, True), (True, True)]), st.integers(0, 40), st.integers(1, 3)),
    min_size=1, max_size=4, unique_by=lambda row: row[:2],
)  # fmt: skip


@MANY
@given(rows=NEEDS, usable=st.lists(st.integers(20, 80), min_size=1, max_size=2),
       kerf=st.integers(0, 3), charge=st.integers(0, 60), slack=st.integers(0, 4),
       finest=st.sampled_from([16_000, 11]))  # fmt: skip
@example(rows=[(30, (True, True), 40, 1), (10, (False, False), 9, 3)], usable=[30], kerf=1,
         charge=0, slack=0, finest=16_000)  # fmt: skip
@example(rows=[(10, (True, False), 20, 1), (12, (False, True), 20, 1), (8, (False, False), 5, 3)],
         usable=[31], kerf=1, charge=0, slack=0, finest=16_000)  # fmt: skip
def test_prices_of_sticks_are_the_most_that_any_pattern_is_worth(
    rows: list[tuple[int, tuple[bool, bool], int, int]], usable: list[int], kerf: int,
    charge: int, slack: int, finest: int,
) -> None:  # fmt: skip
    """Never less, and no more where nothing is rounded; each pattern fits and pays.

    At most one piece takes an end, and one that takes both is the whole stick.
    """
    needs = [Need(length, *ends) for length, ends, _, _ in rows]
    values, copies = [row[2] for row in rows], [row[3] for row in rows]
    stocks = [Stock(str(k), length, length, 1) for k, length in enumerate(usable)]
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("service.cutting.sticks.bench.FINEST", finest)
        least = [need.length - slack for need in needs]
        bench = bench_for(stocks, needs, kerf, copies, least, cut_to_least=False)
    found = price(bench, values, [charge] * len(stocks))
    for number, stock in enumerate(stocks):
        worths = [
            sum(n * v for n, v in zip(taken, values, strict=True))
            for taken in product(*(range(n + 1) for n in copies))
            if _goes_in(needs, taken, stock.usable, kerf, slack)
        ]
        assert found.most[number] >= max(worths)
        assert finest == 11 or slack or found.most[number] == max(worths)
        own = [one for one in found.patterns if one.stock == number]
        paid = [sum(values[needs.index(need)] * n for need, n in one.pieces) for one in own]
        assert all(worth > charge for worth in paid)
        if not slack and finest > 11:
            assert max(paid, default=0) == (max(worths) if max(worths) > charge else 0)
        for one in own:
            taken = [dict(one.pieces).get(need, 0) for need in needs]
            assert _goes_in(needs, taken, stock.usable, kerf, 0)
            assert all(n <= most for n, most in zip(taken, copies, strict=True))


SPARING = st.lists(
    st.tuples(st.integers(6, 40), st.booleans(), st.booleans(), st.integers(0, 40),
              st.integers(1, 2)),
    min_size=1, max_size=12, unique_by=lambda row: row[:3],
)  # fmt: skip


@MANY
@given(
    rows=SPARING.filter(lambda rows: len(rows) <= 5),
    turned=st.booleans(),
    spare=st.tuples(st.integers(0, 3), st.integers(0, 3)),
    finest=st.sampled_from([16_000, 11]),
)
@example(rows=[(20, True, True, 9, 1), (30, True, True, 1, 1)], turned=False, spare=(1, 1),
         finest=16_000)  # fmt: skip
def test_a_stick_that_spares_ends_is_bound_by_what_it_holds(
    rows: list[tuple[int, bool, bool, int, int]], turned: bool, spare: tuple[int, int], finest: int
) -> None:
    """Never less than the best of all fillings, none with more of a piece than is wanted."""
    needs = [Need(length, low_spared=low, high_spared=high) for length, low, high, _, _ in rows]
    values, copies = [row[3] for row in rows], [row[4] for row in rows]
    stock = Stock("0", 70, 54, 1, spare=spare, turned=turned)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("service.cutting.sticks.bench.FINEST", finest)
        most = price(bench_for([stock], needs, 1, copies), values, [40]).most[0]
    held = [
        sum(n * value for n, value in zip(taken, values, strict=True))
        for taken in product(*(range(n + 1) for n in copies))
        if _held({need: n for need, n in zip(needs, taken, strict=True) if n}, stock)
    ]
    assert most >= max(held)
    assert finest == 11 or most <= sum(n * v for n, v in zip(copies, values, strict=True))


def _held(pieces: dict[Need, int], stock: Stock) -> bool:
    length = sum(need.length * n for need, n in pieces.items())
    return fits(length, sum(pieces.values()), 1, stock.room(pieces))


@MANY
@given(rows=SPARING, spare=st.tuples(st.integers(0, 3), st.integers(0, 3)), turned=st.booleans())
def test_pairs_that_are_not_weighed_are_worth_no_more(
    rows: list[tuple[int, bool, bool, int, int]], spare: tuple[int, int], turned: bool
) -> None:
    """Where many pieces spare a raw end few pairs are weighed: worths and patterns are the same."""
    needs = [Need(length, low_spared=low, high_spared=high) for length, low, high, _, _ in rows]
    values, copies = [row[3] for row in rows], [row[4] for row in rows]
    stocks = [Stock(str(k), k, k - 6, 1, spare=spare, turned=turned) for k in (60, 90)]
    bench = bench_for(stocks, needs, 1, copies)
    found = price(bench, values, [40, 40])
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("service.cutting.sticks.ends.MOST_PAIRS", 0)
        assert price(bench, values, [40, 40]) == found


def _goes_in(needs: list[Need], taken: tuple[int, ...], usable: int, kerf: int, slack: int) -> bool:
    pieces = [need for need, n in zip(needs, taken, strict=True) for _ in range(n)]
    if any(need.low_factory and need.high_factory for need in pieces):
        return len(pieces) == 1 and pieces[0].length == usable
    if sum(need.low_factory for need in pieces) > 1 or sum(n.high_factory for n in pieces) > 1:
        return False
    bare = sum(need.length - slack for need in pieces)
    return not pieces or bare + kerf * (len(pieces) - 1) <= usable


STOCKS = st.lists(
    st.tuples(st.integers(10, 60), st.integers(1, 12), st.none() | st.integers(0, 3)),
    min_size=1, max_size=3,
)  # fmt: skip
LENGTHS = st.dictionaries(st.integers(4, 50).map(Need), st.integers(1, 4), min_size=1, max_size=4)


@MANY
@given(rows=STOCKS, needs=LENGTHS, kerf=st.integers(0, 3), top=st.integers(1, 60))
@example(rows=[(10, 5, None), (14, 7, None)], needs={Need(10): 2}, kerf=0, top=3)
@example(rows=[(20, 6, 1), (10, 4, None)], needs={Need(10): 3}, kerf=0, top=6)
def test_bounds_by_the_bare_length(
    rows: list[tuple[int, int, int | None]], needs: dict[Need, int], kerf: int, top: int
) -> None:
    """Cheapest by the length first, short stock while it lasts; then what a mix can cost."""
    stocks = [Stock(str(k), n, n, cost, supply) for k, (n, cost, supply) in enumerate(rows)]
    step = gcd(*(cost for _, cost, _ in rows))
    assert step_of(stocks) == step
    length = sum((need.length + kerf) * n for need, n in needs.items())
    assert material(needs, kerf) == length
    cost, rest = Fraction(0), length
    rates = [(Fraction(cost, n + kerf), n + kerf, supply) for n, cost, supply in rows]
    for rate, room, supply in sorted(rates, key=lambda row: row[0]):
        taken = rest if supply is None else min(rest, supply * room)
        cost, rest = cost + rate * taken, rest - taken
    bound = material_bound(stocks, needs, kerf)
    assert bound % step == 0
    assert bound - step < cost <= bound
    low, high = bound, bound + top * step
    able = {0: 0}
    for n, price_of_one, supply in rows:
        most = high // price_of_one if supply is None else supply
        grown: dict[int, int] = {}
        for (spent, room), k in product(able.items(), range(most + 1)):
            after = spent + k * price_of_one
            if after <= high:
                grown[after] = max(grown.get(after, 0), room + k * (n + kerf))
        able = grown
    reached = [spent for spent, room in able.items() if spent >= low and room >= length]
    assert mixed(stocks, needs, kerf, low, high) == min(reached, default=high)


@MANY
@given(
    rows=STOCKS,
    runs=st.lists(st.lists(st.integers(1, 12), min_size=1, max_size=4), min_size=1, max_size=4),
    joint_cost=st.integers(1, 20),
    share=st.fractions(0, 1, max_denominator=12),
)
@example(rows=[(10, 5, None), (7, 3, None)], runs=[[7, 7]], joint_cost=4, share=Fraction(1, 2))
def test_no_jointed_runs_cost_less_than_their_bound(
    rows: list[tuple[int, int, int | None]],
    runs: list[list[int]],
    joint_cost: int,
    share: Fraction,
) -> None:
    """However runs are cut, sticks and joints cost it or more; no share bounds it better."""
    stocks = [Stock(str(k), n, n, cost, supply) for k, (n, cost, supply) in enumerate(rows)]
    wanted = Counter(Need(sum(pieces)) for pieces in runs)
    longest = max(stock.usable for stock in stocks)
    least = sum(-(-sum(pieces) // longest) - 1 for pieces in runs)
    bound = jointed_bound(stocks, wanted, joint_cost, least, ends_known=True)
    plan = solve(stocks, Counter(Need(n) for pieces in runs for n in pieces), 0, EFFORTS["quick"])
    if plan is not None:
        joints = sum(len(pieces) - 1 for pieces in runs)
        assert bound <= plan.cost + joint_cost * joints
    least_cost, rest = Fraction(0), sum(map(sum, runs))
    loaded = [(Fraction(cost + share * joint_cost), n, supply) for n, cost, supply in rows]
    for each, room, supply in sorted(loaded, key=lambda row: row[0] / row[1]):
        taken = rest if supply is None else min(rest, supply * room)
        least_cost, rest = least_cost + each * taken / room, rest - taken
    assert least_cost + joint_cost * ((1 - share) * least - share * len(runs)) <= bound


def test_bounds_of_what_costs_nothing() -> None:
    free = [Stock("0", 10, 10, 0), Stock("1", 20, 20, 6)]
    assert step_of(free) == 6
    assert step_of(free[:1]) == 1
    assert mixed(free, Counter({Need(10): 2}), 0, 6, 12) == 6
    assert [attainable(Fraction(n, 2), free) for n in (-5, 0, 1, 12, 13)] == [0, 0, 6, 6, 12]


@MANY
@given(lengths=st.lists(st.integers(1, 30), max_size=5), kerf=st.integers(0, 4),
       usable=st.integers(0, 120))  # fmt: skip
@example(lengths=[10, 10], kerf=2, usable=22)
@example(lengths=[10, 10], kerf=2, usable=23)
def test_kerfs_lie_between_pieces_and_before_the_rest(
    lengths: list[int], kerf: int, usable: int
) -> None:
    """The last cut takes a kerf, or what is there; where nothing is left there is none (8.2)."""
    count = len(lengths)
    taken = sum(lengths) + kerf * max(0, count - 1)
    assert fits(sum(lengths), count, kerf, usable) == (taken <= usable)
    if taken > usable:
        return
    last = min(kerf, usable - taken) if count else 0
    cuts, length = kerfs(sum(lengths), count, kerf, usable)
    assert length == taken - sum(lengths) + last
    assert cuts == max(0, count - 1) + (last > 0)


def test_pieces_are_cut_from_the_low_end_on() -> None:
    """The one that needs the low factory end first, the one with the high end last."""
    needs = {Need(5): 2, Need(9): 1, Need(3, True): 1, Need(20, False, True): 1}
    assert ordered(needs, Stock("0", 99, 99, 1)) == (
        Need(3, True),
        Need(9),
        Need(5),
        Need(5),
        Need(20, False, True),
    )


@st.composite
def rolls(draw: st.DrawFn) -> tuple[list[Length], list[Stock], Laps]:
    """Strips in rows and one or two lengths of roll, in inches."""
    end, offset = draw(st.integers(2, 8)), draw(st.integers(0, 16))
    laps = Laps(end * INCH, offset * INCH, draw(st.integers(0, 60)) * INCH)
    strips = [
        Length((draw(st.integers(0, 1)), row), low * INCH, (low + length) * INCH)
        for row in range(draw(st.integers(1, 5)))
        for low, length in [(draw(st.integers(0, 20)), draw(st.integers(10, 400)))]
    ]
    stocks = [
        Stock(str(k), length * INCH, length * INCH, draw(st.integers(1, 9)) * 10,
              draw(st.none() | st.integers(0, 4)))
        for k, length in enumerate(draw(st.lists(st.integers(12, 300), min_size=1, max_size=2)))
    ]  # fmt: skip
    return strips, stocks, laps


@MANY
@given(job=rolls())
def test_strips_are_rolled_out_piece_by_piece(job: tuple[list[Length], list[Stock], Laps]) -> None:
    """From end to end with the lap asked for, off rolls that hold them, laps of rows apart."""
    strips, stocks, laps = job
    plan = roll_out(strips, stocks, laps, EFFORTS["quick"])
    if plan is None:
        return
    assert plan.cost == sum(stocks[number].cost for number in plan.rolls)
    assert plan.bound <= plan.cost
    for number, count in Counter(plan.rolls).items():
        supply = stocks[number].supply
        assert supply is None or count <= supply
    ends: dict[tuple[int, int], list[int]] = {}
    for k, strip in enumerate(strips):
        own = [piece for piece in plan.pieces if piece.strip == k]
        assert (own[0].low, own[-1].high) == (strip.low, strip.high)
        assert all(b.low == a.high - laps.end for a, b in pairwise(own))
        assert all(a.high - a.low >= laps.end + LEAST_ADVANCE for a in own[:-1])
        ends.setdefault(strip.row, []).extend(piece.high for piece in own[:-1])
        assert len(own) == 1 or own[-1].high - own[-1].low >= 2 * laps.end
    for (part, row), own_ends in ends.items():
        for at, other in product(own_ends, ends.get((part, row - 1), ())):
            assert abs(at - other) >= laps.offset
    _check_rolls(plan, strips, stocks, laps)


def _check_rolls(plan: RollPlan, strips: list[Length], stocks: list[Stock], laps: Laps) -> None:
    """No roll gives more than it has, and a rest that is too short begins no lap.

    One piece of a roll at most goes on off another, and comes off it last.
    """
    off: dict[int, list[RollPiece]] = defaultdict(list)
    for piece in plan.pieces:
        off[piece.roll].append(piece)
    assert off.keys() == set(range(len(plan.rolls)))
    for roll, pieces in off.items():
        rest = stocks[plan.rolls[roll]].usable
        going_on = [piece for piece in pieces if piece.high != strips[piece.strip].high]
        assert len(going_on) <= 1
        before = sum(piece.high - piece.low for piece in pieces if piece not in going_on)
        if going_on and before:
            assert rest - before >= max(laps.reuse, laps.end + 1)
        assert before + sum(piece.high - piece.low for piece in going_on) <= rest


@st.composite
def few_rolls(draw: st.DrawFn) -> tuple[list[Length], list[Stock], Laps]:
    """One to four strips and one or two lengths of roll, none free, in inches."""
    laps = Laps(draw(st.integers(2, 8)) * INCH, 0, draw(st.sampled_from([0, 20, 36])) * INCH)
    strips = [
        Length((0, row), 0, draw(st.integers(12, 150)) * INCH)
        for row in range(draw(st.integers(1, 4)))
    ]
    lengths = draw(st.lists(st.integers(60, 200), min_size=1, max_size=2, unique=True))
    stocks = [
        Stock(str(k), length * INCH, length * INCH, draw(st.integers(1, 40)),
              draw(st.none() | st.integers(0, 3)))
        for k, length in enumerate(lengths)
    ]  # fmt: skip
    return strips, stocks, laps


@MANY
@given(job=few_rolls())
def test_the_bound_of_rolls_by_trying_every_roll_for_every_strip(
    job: tuple[list[Length], list[Stock], Laps],
) -> None:
    """No rolls cost less than the bound; it knows that they are whole, and the laps that must be.

    It is no less than the cheapest whole rolls long enough for the bare strips, and what is called
    optimal is what trying everything comes to.
    """
    strips, stocks, laps = job
    plan = roll_out(strips, stocks, laps, EFFORTS["quick"])
    lengths = [strip.high - strip.low for strip in strips]
    rolls_ = [(stock.usable, stock.cost, stock.supply) for stock in stocks]
    least = least_rolls(lengths, rolls_, laps.end, laps.reuse)
    if plan is None:
        return
    assert least is not None
    assert plan.bound <= least <= plan.cost
    bare = least_rolls(lengths, rolls_, 0, 0)
    assert bare is not None
    assert plan.bound >= bare
    if len(strips) == 1 and lengths[0] > max(stock.usable for stock in stocks):
        alike = [stock for stock in stocks if stock.usable == max(s.usable for s in stocks)]
        advance, count = alike[0].usable - laps.end, 1
        while alike[0].usable + (count - 1) * advance < lengths[0]:
            count += 1
        assert plan.bound >= min(count * stock.cost for stock in stocks)


@MANY
@given(job=few_rolls(), owned=st.none() | st.tuples(st.integers(60, 200), st.integers(1, 2)))
def test_strips_in_groups_cost_what_trying_every_roll_for_every_strip_comes_to(
    job: tuple[list[Length], list[Stock], Laps], owned: tuple[int, int] | None
) -> None:
    """Where laps need not keep apart and any rest begins one: neither less nor more.

    Rolls at hand that cost nothing serve all groups together, not each of them. Told in another
    order or in another unit it is the same, and twice the strips cost at most twice as much.
    """
    strips, bought, laps = job
    own = [] if owned is None else [Stock("own", owned[0] * INCH, owned[0] * INCH, 0, owned[1])]
    stocks = [*bought, *own]
    lengths = Counter(strip.high - strip.low for strip in strips)
    rolls_ = [(stock.usable, stock.cost, stock.supply) for stock in stocks]
    found = parted(stocks, lengths, laps.end)
    least = least_rolls(list(lengths.elements()), rolls_, laps.end, 0)
    assert (None if found is None else found.cost) == least
    if found is None:
        return
    assert sum((Counter(group.strips) for group in found.groups), Counter()) == lengths
    for k, stock in enumerate(stocks):
        taken = sum(group.rolls[k] for group in found.groups)
        assert stock.supply is None or taken <= stock.supply
    told = parted(stocks[::-1], dict(reversed(list(lengths.items()))), laps.end)
    assert told is not None
    assert told.cost == found.cost
    longer = [replace(stock, length=5 * stock.length, usable=5 * stock.usable) for stock in stocks]
    metric = parted(longer, {5 * one: count for one, count in lengths.items()}, 5 * laps.end)
    assert metric is not None
    assert metric.cost == found.cost
    endless = [replace(stock, supply=None) for stock in bought]
    once = parted(endless, lengths, laps.end)
    twice = parted(endless, {one: 2 * count for one, count in lengths.items()}, laps.end)
    assert once is not None
    assert twice is not None
    assert once.cost <= twice.cost <= 2 * once.cost


@MANY
@given(count=st.integers(1, 6), length=st.integers(10, 60), price=st.integers(1, 90))
def test_one_roll_that_holds_all_is_the_least_there_can_be(
    count: int, length: int, price: int
) -> None:
    """However little of it is used: rolls are bought whole."""
    strips = [Length((0, row), 0, length * INCH) for row in range(count)]
    stock = Stock("0", 400 * INCH, 400 * INCH, price)
    plan = roll_out(strips, [stock], Laps(6 * INCH, 12 * INCH, 36 * INCH), EFFORTS["quick"])
    assert plan is not None
    assert plan.cost == plan.bound == price


def test_a_bench_holds_as_many_as_its_longest_stick() -> None:
    """With no number given: ten of 1 and two of 4 go into a stick of 10, each with its end or not.

    Lengths of 1, 4 and 10 have no common unit but 1; with a kerf of 2 the stick has room for 12.
    """
    ends = ((False, False), (True, False), (False, True), (True, True))
    needs = [Need(1), Need(4), *(Need(10, *own) for own in ends)]
    stocks = [Stock("0", 10, 10, 1), Stock("1", 8, 8, 1)]
    bench = bench_for(stocks, needs, 0)
    assert bench.most == (10, 2, 1, 1, 1, 1)
    assert (bench.free, bench.lows, bench.highs, bench.whole) == ((0, 1, 2), (3,), (4,), (5,))
    assert bench.capacities == (10, 8)
    assert bench.exact
    sawn = bench_for(stocks, needs[:2], 2)
    assert (sawn.capacities, sawn.up, sawn.most) == ((4, 3), (1, 2), (4, 2))


@MANY
@given(rows=STOCKS, needs=LENGTHS, kerf=st.integers(0, 3))
def test_best_fit_holds_every_piece_or_there_is_too_little(
    rows: list[tuple[int, int, int | None]], needs: dict[Need, int], kerf: int
) -> None:
    """Each stick holds its pieces with kerfs between, and no cheaper stock would hold them."""
    stocks = [Stock(str(k), n, n, cost, supply) for k, (n, cost, supply) in enumerate(rows)]
    plan = best_fit(stocks, needs, kerf)
    endless = max((s.usable for s in stocks if s.supply is None), default=0)
    if plan is None:
        assert max(need.length for need in needs) > endless or not endless
        return
    assert Counter(need for stick in plan for need in stick.pieces) == needs
    left = Counter({k: s.supply for k, s in enumerate(stocks) if s.supply is not None})
    left.subtract(stick.stock for stick in plan if stocks[stick.stock].supply is not None)
    assert min(left.values(), default=0) >= 0
    for stick in plan:
        own = stocks[stick.stock]
        taken = sum(need.length for need in stick.pieces) + kerf * (len(stick.pieces) - 1)
        assert taken <= own.usable
        assert not any(s.supply is None and s.usable >= taken and s.cost < own.cost for s in stocks)


@MANY
@given(
    rows=st.lists(st.tuples(st.integers(6, 11), st.integers(1, 20)), min_size=1, max_size=4),
    needs=st.dictionaries(
        st.builds(Need, st.integers(6, 10), *[st.booleans()] * 4), st.integers(1, 3), min_size=1
    ),
    turned=st.booleans(),
)
def test_pieces_of_which_no_stick_holds_two_lie_alike_whichever_stick_is_opened(
    rows: list[tuple[int, int]], needs: dict[Need, int], turned: bool
) -> None:
    stocks = [
        Stock(str(k), n, n - 1, cost, spare=(1, 0), turned=turned)
        for k, (n, cost) in enumerate(rows)
    ]
    found = best_fit(stocks, needs, 0)
    for opener in range(len(stocks)):
        assert heuristic._filled(stocks, needs, 0, opener) == found


@examples(4)
@given(count=st.integers(110, 150), step=st.sampled_from([7, 11, 13]))
def test_many_different_pieces_take_counted_work(count: int, step: int) -> None:
    """Their plan is between its bound and what best fit costs; a bound alone is under it."""
    stocks = [Stock(str(k), 120 * k, 120 * k, 10 * k) for k in (8, 12, 16)]
    needs = {Need(300 + (step * k * k) % 701 + k): 1 + k % 2 for k in range(count)}
    quick = EFFORTS["quick"]
    plan = solve(stocks, needs, 2, quick)
    assert plan is not None
    assert Counter(need for stick in plan.sticks for need in stick.pieces) == needs
    least = least_cost(stocks, needs, 2, quick)
    assert material_bound(stocks, needs, 2) <= least <= plan.cost
    assert least_cost(stocks, needs, 2, quick, enough=least // 2) <= plan.cost
    assert plan.work <= 3 * quick.rounds + len(NEARLY_WHOLE) * (MOST_PRICED // len(needs))


def test_a_dive_prices_by_itself_whatever_was_priced_before() -> None:
    """Its rounds are its own: a programme that priced often before dives as deep."""
    stocks = [Stock("0", 1000, 1000, 1)]
    needs = {Need(200 + (37 * k * k) % 151): 1 for k in range(90)}

    def found(before: int) -> tuple[Stick, ...] | None:
        master = Master(stocks, tuple(needs), 0, needs)
        master.work = before
        return dive(master, needs, EFFORTS["standard"], 0, NEARLY_WHOLE[0])

    assert found(0) == found(1_000_000)
