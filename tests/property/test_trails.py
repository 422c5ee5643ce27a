"""Trails and flows through courses in order, and what joints cost: by trying every order."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise, product

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.cutting.sticks.master import SCALE, Master
from service.joints.course_order import Ways, cheapest, is_plain, walk, ways_of
from service.joints.flow import flow_of
from service.joints.graph import Graph
from service.joints.job import Pool, prepared
from service.joints.master import JointMaster
from service.joints.records import Jointed, JointRules, Places
from service.joints.solve import place_joints
from tests.independent.cut_plans import Bar, Wanted, least_by_trying
from tests.property.test_stacks import run_of
from tests.strategies.budget import FEW, examples

MANY = examples(120)
RULES = JointRules(Places.FRAMING, 20, 0, 16, 5, 1, 1, end_matched=False)


def plain_courses(length: int, count: int, places: tuple[int, ...]) -> Pool:
    runs = tuple(run_of(k + 1, 0, length, places) for k in range(count))
    return Pool(runs, (RULES,), (Stock("0", 60, 60, 60), Stock("1", 75, 75, 74)), 1)


TRAILS = st.builds(
    plain_courses, st.integers(91, 130), st.integers(3, 6),
    st.sets(st.integers(20, 110), min_size=2, max_size=7).map(lambda own: tuple(sorted(own))),
).map(lambda pool: replace(pool, runs=tuple(
    replace(run, stations=tuple(at for at in run.stations if at < run.high)) for run in pool.runs
)))  # fmt: skip


@MANY
@given(pool=TRAILS, most=st.integers(1, 80), complete=st.booleans())
@example(pool=plain_courses(100, 3, (30, 50, 70)), most=80, complete=False)
@example(pool=plain_courses(100, 3, (30, 50, 70)), most=80, complete=True)
def test_what_may_follow_what_and_whether_that_is_all(
    pool: Pool, most: int, complete: bool
) -> None:
    """Three courses in a row that keep stagger and repeat; all there is if none was left out."""
    stack = prepared(pool).stacks[0]
    graph = stack.graphs[0]
    if graph is None:
        return
    assert is_plain(stack)
    layouts = graph.ways(400)
    assert layouts is not None
    ways = ways_of(stack, graph, layouts, most, complete=complete)
    every = _threes(graph, layouts)
    if ways is None:
        return
    count = len(ways.layouts)
    assert list(ways.layouts) == layouts[:count]
    assert set(ways.arcs) == {arc for arc in every if max(arc) < count}
    assert len(ways.arcs) <= most
    assert ways.complete == (complete and count == len(layouts))
    assert count == len(layouts) or len(every) > most
    assert set(ways.states) == {arc[:2] for arc in ways.arcs} | {arc[1:] for arc in ways.arcs}
    _check_walk(ways, len(pool.runs))


def _threes(graph: Graph, layouts: list[tuple[int, ...]]) -> set[tuple[int, int, int]]:
    at = [[graph.places[node] for node in joints] for joints in layouts]

    def apart(a: int, b: int, least: int) -> bool:
        return all(abs(x - y) >= least for x in at[a] for y in at[b])

    return {
        (a, b, c) for a, b, c in product(range(len(layouts)), repeat=3)
        if apart(a, b, RULES.stagger) and apart(b, c, RULES.stagger)
        and apart(a, c, RULES.repeat)
    }  # fmt: skip


def _check_walk(ways: Ways, runs: int) -> None:
    """A walk goes along arcs for as many courses as are wanted, wherever one can."""
    wanted = [runs if k == 0 else 0 for k in range(len(ways.layouts))]
    order = walk(ways, wanted, {}, [0.0] * len(wanted), 1.0, 10_000)
    prices = [1] * len(wanted)
    assert (order is None) == (cheapest(ways, prices, runs) is None)
    if order is not None:
        assert len(order) == runs
        threes = list(zip(order, order[1:], order[2:], strict=False))
        assert set(threes) <= set(ways.arcs)


@FEW
@given(length=st.integers(100, 170), cost=st.integers(1, 400), premium=st.integers(0, 60),
       places=st.sampled_from([Places.FRAMING, Places.ANYWHERE]))  # fmt: skip
@example(length=150, cost=500, premium=0, places=Places.FRAMING)
def test_joints_that_cost_are_part_of_the_cost_and_of_the_bound(
    length: int, cost: int, premium: int, places: Places
) -> None:
    """Bound <= least over all layouts of sticks and joints <= cost, which counts both."""
    able = tuple(range(20, length - 19, 10))
    stocks = (Stock("0", 60, 60, 60), Stock("1", 90, 90, 90 + premium))
    pool = Pool((run_of(1, 0, length, able),), (replace(RULES, places=places),), stocks, 1, cost)
    made = place_joints(pool, EFFORTS["standard"])
    assert isinstance(made, Jointed)
    sticks = sum(stocks[stick.stock].cost for stick in made.plan.sticks)
    assert made.plan.cost == sticks + cost * (len(made.cuts[0]) - 1)
    shapes = {
        tuple(sorted(b - a for a, b in pairwise((0, *way, length))))
        for count in range(1, 8) for way in combinations(able, count)
        if all(20 <= b - a <= 90 for a, b in pairwise((0, *way, length)))
    }  # fmt: skip
    bars = [Bar(stock.usable, stock.cost) for stock in stocks]
    best = min(_least(bars, own) + cost * (len(own) - 1) for own in shapes)
    assert made.plan.bound <= best <= made.plan.cost
    # The joints that none can do without and the bare length, wherever they are.
    fewest = cost * (min(map(len, shapes)) - 1)
    bare = min(Fraction(stock.cost, stock.usable) for stock in stocks) * length
    assert made.plan.bound >= fewest + bare - 1


def _least(bars: list[Bar], lengths: tuple[int, ...]) -> int:
    best = least_by_trying(bars, 1, [Wanted(n) for n in sorted(lengths, reverse=True)])
    assert best is not None
    return best


def test_the_bound_knows_that_pieces_do_not_share_sticks() -> None:
    """Three runs of 60 and one of 150 that must be two of 75: no two go into a stick of 100.

    By the bare length four sticks of 100 would do.
    """
    apart = tuple(run_of(3 * k + 1, 0, 60, ()) for k in range(3))
    jointed = run_of(20, 0, 150, (75,))
    pool = Pool((*apart, jointed), (RULES,), (Stock("0", 100, 100, 9),), 0)
    made = place_joints(pool, EFFORTS["standard"])
    assert isinstance(made, Jointed)
    assert Counter(cut.need.length for own in made.cuts for cut in own) == {60: 3, 75: 2}
    assert (made.plan.cost, made.plan.bound) == (45, 45)


@pytest.mark.parametrize(
    ("length", "places", "least", "stagger", "sticks", "cost"),
    [(120, (40, 60), 40, 16, ((60, 60), (90, 90)), 510),
     (160, (40, 80), 40, 40, ((80, 80), (120, 130)), 660)],
)  # fmt: skip
def test_the_windows_of_a_stack_raise_its_bound(
    length: int, places: tuple[int, ...], least: int, stagger: int,
    sticks: tuple[tuple[int, int], ...], cost: int,
) -> None:  # fmt: skip
    """Four courses jointed in the middle cost least, but touching ones may not be jointed alike.

    120 as 60 + 60 cost 4 x 120. Every second course is 40 + 80 though: four sticks of 60, two of
    90 for the pieces of 80, and one of 90 for both of 40 come to 510, and the bound knows it.
    160 as 80 + 80 cost 4 x 160; every second one 40 + 120, so 2 x 160 + 2 x 130 + 80 = 660.
    """
    runs = tuple(run_of(k + 1, 0, length, places) for k in range(4))
    stocks = tuple(Stock(str(k), n, n, price) for k, (n, price) in enumerate(sticks))
    rules = replace(RULES, min_piece=least, stagger=stagger, repeat=0)
    made = place_joints(Pool(runs, (rules,), stocks, 0), EFFORTS["standard"])
    assert isinstance(made, Jointed)
    assert (made.plan.cost, made.plan.bound) == (cost, cost)


@pytest.mark.parametrize("joint_cost", [0, 7])
@pytest.mark.parametrize("runs", [3, 5])
def test_a_flow_knows_what_its_courses_are_worth_in_order(runs: int, joint_cost: int) -> None:
    """At sure prices, against every order of all layouts that keeps stagger and repeat."""
    places = (30, 36, 42, 50, 58, 66, 74, 80)
    pool = replace(plain_courses(110, runs, places), joint_cost=joint_cost)
    job = prepared(pool)
    (stack,) = job.stacks
    cutting = Master(pool.stocks, sorted(job.needs.all), pool.kerf, least=job.least)
    master = JointMaster(cutting, job.stacks, job.needs.all, job.fixed, pool.joint_cost)
    solved, _ = master.run(20)
    assert solved is not None
    flow = flow_of(master, stack, master.group_of[0, 0], solved.duals, 80, 50_000)
    assert flow is not None
    again, sure = cutting.priced(20)
    assert again is not None
    assert sure is not None
    values = dict(zip(cutting.rows, sure.values, strict=True))
    graph = master.group_of[0, 0].graph
    worths = [
        sum(values[job.needs.all[n]] for n in graph.needs(way)) + joint_cost * SCALE * len(way)
        for way in flow.ways.layouts
    ]
    threes = _threes(graph, list(flow.ways.layouts))
    orders = [list(three) for three in threes]
    for _ in range(runs - 3):
        orders = [[*own, c] for own in orders for a, b, c in threes if own[-2:] == [a, b]]
    assert flow.bound(master, sure, joint_cost * SCALE) == min(
        sum(worths[k] for k in order) for order in orders
    )
    assert sum(flow.wanted(again)) == runs
    laid = flow.order(master, again, 50)
    assert laid is not None
    assert [flow.ways.layouts.index(way) for way in laid] in orders
