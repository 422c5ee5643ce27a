"""Traps of the solver library and of bounds: each was met, and has its guard."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from math import inf

import pytest

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stick, Stock
from service.cutting.sticks.bench import bench_for
from service.cutting.sticks.bounds import mixed
from service.cutting.sticks.master import SCALE, Master
from service.cutting.sticks.patterns import within
from service.cutting.sticks.pricing import price
from service.cutting.sticks.solve import solve
from service.cutting.sticks.whole_numbers import at_hand, searched_among
from service.solver.programme import Programme
from tests.benchmark.cutting.drawn import drawn

STOCKS = (Stock("0", 96, 96, 800), Stock("1", 120, 120, 990))
NEEDS = Counter({Need(55): 3, Need(41): 4, Need(27): 5})


def test_a_bound_from_prices_that_stopped_early_is_still_a_bound() -> None:
    """Pricing cut off after any number of rounds: the prices shrink until no stick pays."""
    best = solve(STOCKS, NEEDS, 1, EFFORTS["thorough"])
    assert best is not None
    assert best.optimal
    master = Master(STOCKS, tuple(sorted(NEEDS)), 1, NEEDS)
    master.demand(NEEDS)
    bounds = []
    for _ in range(8):
        solved = master.programme.solve()
        assert solved is not None
        _, prices = master.generate(solved)
        wanted = sum(v * NEEDS[n] for n, v in zip(master.rows, prices.values, strict=True))
        bounds.append(prices.worth(wanted, STOCKS) / SCALE)
    assert all(bound <= best.cost for bound in bounds)
    assert bounds[0] < bounds[-1]


def test_sure_prices_let_no_stick_be_worth_more_than_it_costs() -> None:
    """Checked in integers, whatever the linear programme's tolerance."""
    master = Master(STOCKS, tuple(sorted(NEEDS)), 1, NEEDS)
    master.demand(NEEDS)
    solved, prices = master.priced(50)
    assert solved is not None
    assert prices is not None
    most = price(master.bench, prices.values, [0, 0]).most
    for value, stock in zip(most, STOCKS, strict=True):
        assert Fraction(value) / prices.shrink <= stock.cost * SCALE


def test_a_known_cost_is_a_cutoff_and_no_row() -> None:
    """Nothing under the cutoff: the search ends and says so; at the cutoff it finds it."""
    programme = Programme()
    rows = [programme.add_row(3.0), programme.add_row(2.0)]
    programme.add_column(2.0, {rows[0]: 1.0})
    programme.add_column(2.0, {rows[1]: 1.0})
    programme.add_column(3.0, {rows[0]: 1.0, rows[1]: 1.0})
    assert programme.whole([0, 1, 2], 100, 8.0).values == [1, 0, 2]
    below = programme.whole([0, 1, 2], 100, 7.5)
    assert (below.values, below.finished) == (None, True)
    assert programme.whole([0, 1], 100, inf).values == [3, 2]


def test_every_pattern_that_can_matter_is_listed() -> None:
    """Against all full patterns of a small job, with a target that leaves them all in."""
    master = Master(STOCKS, tuple(sorted(NEEDS)), 1, NEEDS)
    master.demand(NEEDS)
    _, prices = master.priced(50)
    assert prices is not None
    listed = within(master.bench, prices, Fraction(0), 10**6, 10**6)
    assert listed is not None
    found = {tuple(row) for row in listed.counts.tolist()}
    assert found == set(full_patterns())


def full_patterns() -> list[tuple[int, ...]]:
    """Full patterns of either stock, without those that the cheaper stock holds as well."""
    needs = sorted(NEEDS)
    every = [
        (a, b, c) for a in range(6) for b in range(5) for c in range(4)
        if (a, b, c) != (0, 0, 0) and a <= NEEDS[needs[0]] and b <= NEEDS[needs[1]]
        and c <= NEEDS[needs[2]]
    ]  # fmt: skip

    def taken(row: tuple[int, ...]) -> int:
        return sum(n * (need.length + 1) for n, need in zip(row, needs, strict=True)) - 1

    def full(row: tuple[int, ...], room: int) -> bool:
        return all(
            row[k] == NEEDS[need] or taken(row) + need.length + 1 > room
            for k, need in enumerate(needs)
        )

    return [
        row for row in every
        if (taken(row) <= 96 and full(row, 96)) or (96 < taken(row) <= 120 and full(row, 120))
    ]  # fmt: skip


def test_rounded_weights_can_be_cut_and_bounds_allow_for_them() -> None:
    """Lengths without a common unit: up for patterns, down for bounds."""
    stocks = (Stock("0", 9_753_601, 9_753_601, 7),)
    bench = bench_for(stocks, (Need(1_016_003), Need(3_251_199)), 127_001)
    assert not bench.exact
    priced = price(bench, (300, 1000), (0,))
    for pattern in priced.patterns:
        lengths = sum((n.length + 127_001) * count for n, count in pattern.pieces) - 127_001
        assert lengths <= stocks[0].usable
    assert priced.most[0] >= 2000 + 300 * 2


def test_a_mix_of_sticks_that_costs_less_is_too_short() -> None:
    """Costs 5 and 7: 11 cannot be reached; of the costs from 8 on, 10 is the first long enough."""
    stocks = (Stock("0", 10, 10, 5), Stock("1", 14, 14, 7))
    assert mixed(stocks, Counter({Need(10): 2}), 0, 8, 14) == 10
    assert mixed(stocks, Counter({Need(7): 3}), 0, 11, 14) == 12
    assert mixed(stocks, Counter({Need(10): 3}), 0, 8, 14) == 14


@pytest.mark.parametrize("size", ["S", "M"])
def test_plans_are_the_same_side_by_side(size: str) -> None:
    """Two threads with a job each, in turn: no state but the models' own."""
    jobs = drawn(size, 7)[:8]
    one = [solve(job.stocks, job.needs, job.kerf, EFFORTS["quick"]) for job in jobs]
    with ThreadPoolExecutor(2) as pool:
        again = list(
            pool.map(lambda job: solve(job.stocks, job.needs, job.kerf, EFFORTS["quick"]), jobs)
        )
    assert one == again


def test_pieces_lighter_than_the_unit_weigh_nothing_and_still_count() -> None:
    """A piece of 1 on a stick of a million: as many as are wanted are worth their price."""
    long = (Stock("0", 1_000_000, 1_000_000, 1),)
    bench = bench_for(long, (Need(1), Need(600_001)), 0, [5, 2])
    assert bench.down[0] == 0
    assert price(bench, (3, 10), [0]).most == (25,)


def test_patterns_may_be_priced_at_the_shortest_length_of_a_need() -> None:
    """Two of 55 do not go into 96; two of 48, for which the need stands too, do."""
    needs = (Need(55),)
    assert price(bench_for(STOCKS[:1], needs, 0), (1,), [0]).most == (1,)
    assert price(bench_for(STOCKS[:1], needs, 0, None, [48]), (1,), [0]).most == (2,)


def test_a_closed_column_may_be_opened_again() -> None:
    programme = Programme()
    row = programme.add_row(3.0)
    cheap, _ = (programme.add_column(cost, {row: 1.0}) for cost in (1.0, 2.0))
    costs = []
    for change in (lambda _: None, programme.close, programme.open):
        change(cheap)
        solved = programme.solve()
        assert solved is not None
        costs.append(solved.objective)
    assert costs == [3.0, 6.0, 3.0]


def test_a_search_among_some_patterns_proves_nothing_about_the_others() -> None:
    """55 and 41 apart cost 1600; together in a stick of 120 they cost 990, which is not listed."""
    needs = Counter({Need(55): 1, Need(41): 1})
    master = Master(STOCKS, tuple(sorted(needs)), 1, needs)
    master.demand(needs)
    apart = tuple(Stick(0, (need,)) for need in needs)
    found, bound = searched_among(
        master, needs, EFFORTS["thorough"], apart, 7, at_hand(master), complete=False
    )
    assert (found, bound) == (apart, 7)
    together = solve(STOCKS, needs, 1, EFFORTS["thorough"])
    assert together is not None
    assert (together.cost, together.bound) == (990, 990)


def test_a_piece_that_is_wanted_once_is_not_counted_at_an_end_and_between() -> None:
    """Of 101 one is wanted: a stick of 300 that spares its raw ends is worth it once, not twice."""
    stock = Stock("0", 300, 298, 10, spare=(1, 1))
    needs = [Need(length, low_spared=True, high_spared=True) for length in (101, 181)]
    bench = bench_for([stock], needs, 1, [1, 1])
    assert price(bench, [10, 2], [10]).most == (12,)


def test_a_command_that_solves_prints_its_own_and_no_banner_of_the_solver() -> None:
    """The library prints one as its first model in a process is made."""
    code = "from service.__main__ import _let_solver_greet as greet; greet(); print('own', end='')"
    made = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert (made.stdout, made.stderr) == (b"own", b"")
