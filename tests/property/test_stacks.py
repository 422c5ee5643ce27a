"""Graphs, stacks and trails of courses, each against its definition tried out one by one."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations, pairwise, product

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.master import SCALE, Master
from service.cutting.records import Need, Stock
from service.joints.flow import flow_of
from service.joints.graph import Graph, Needs, graph_of
from service.joints.job import is_single, prepared, whole_run
from service.joints.master import JointMaster
from service.joints.records import Jointed, JointRules, JointRun, Places
from service.joints.solve import Pool, place_joints
from service.joints.stack import blocks, spread, stack_of
from service.joints.trail import Ways, cheapest, is_plain, walk, ways_of
from service.layout.bearings import BearingLine
from tests.independent.cut_plans import Bar, Wanted, least_by_trying
from tests.strategies.budget import FEW, LAW

MANY = settings(LAW, max_examples=120)
NO_LINE = BearingLine((), (), 0)
RULES = JointRules(Places.FRAMING, 20, 0, 16, 5, 1, 1, covered=True, end_matched=False)


def run_of(course: int, low: int, high: int, stations: tuple[int, ...]) -> JointRun:
    return JointRun(0, course, low, high, stations, NO_LINE, str(course))


RUNS = st.lists(
    st.tuples(st.integers(0, 10).map(lambda n: 10 * n), st.integers(2, 12).map(lambda n: 10 * n),
              st.sets(st.integers(0, 70).map(lambda n: 3 * n), max_size=12)),
    min_size=1, max_size=5,
).map(lambda rows: [
    run_of(k + 1, low, low + length, tuple(sorted(at for at in own if low < at < low + length)))
    for k, (low, length, own) in enumerate(rows)
])  # fmt: skip
"""One run to a course; runs of neighbouring courses touch, or meet in a point, or lie apart."""
STICK = (Stock("0", 90, 90, 1),)


@MANY
@given(runs=RUNS, stagger=st.integers(0, 30), repeat=st.integers(0, 12), skip=st.booleans(),
       data=st.data())  # fmt: skip
def test_a_stack_shuts_what_lies_too_near(
    runs: list[JointRun], stagger: int, repeat: int, skip: bool, data: st.DataObject
) -> None:
    """Nearer than the stagger one course before, than the repeat two before; both if they touch."""
    if skip and len(runs) > 2:
        runs = [run for run in runs if run.course != 2]
    rules = replace(RULES, stagger=stagger, repeat=repeat)
    stack = stack_of(runs, [False] * len(runs), rules, STICK, Needs())
    laid = [data.draw(st.sets(st.sampled_from(run.stations or (0,)))) & set(run.stations)
            for run in runs]  # fmt: skip
    masks = {
        k: sum(1 << stack.stations.index(at) for at in own)
        for k, own in enumerate(laid)
    }  # fmt: skip
    for k, run in enumerate(runs):
        shut = stack.shut(k, masks)
        found = {at for j, at in enumerate(stack.stations) if shut >> j & 1}
        expected = set()
        for other, own in zip(runs, laid, strict=True):
            back = run.course - other.course
            if back in (1, 2) and other.low < run.high and run.low < other.high:
                reach = stagger if back == 1 else repeat
                expected |= {at for at in stack.stations for b in own if abs(at - b) < reach}
        assert found == expected


@MANY
@given(
    runs=RUNS, there=st.sets(st.integers(1, 70).map(lambda n: 3 * n), max_size=9), place=st.data()
)
def test_an_installed_run_shuts_what_is_before_and_after_it(
    runs: list[JointRun], there: set[int], place: st.DataObject
) -> None:
    """On either side, one course and two courses away; a run that only meets its end is free."""
    k = place.draw(st.integers(0, len(runs) - 1))
    run = runs[k]
    joints = tuple(sorted(at for at in there if run.low < at < run.high))
    own = [*runs[:k], replace(run, installed=joints), *runs[k + 1 :]]
    stack = stack_of(own, [False] * len(own), RULES, STICK, Needs())
    assert k not in stack.jointed
    for j, other in enumerate(own):
        if j == k:
            continue
        apart = abs(other.course - run.course)
        meets = other.low < run.high and run.low < other.high
        reach = {1: RULES.stagger, 2: RULES.repeat}.get(apart, 0) if meets else 0
        shut = stack.shut(j, {})
        found = {at for i, at in enumerate(stack.stations) if shut >> i & 1}
        assert found == {at for at in stack.stations for b in joints if abs(at - b) < reach}


@MANY
@given(stations=st.sets(st.integers(1, 60), max_size=8), members=st.sets(st.integers(0, 60),
       max_size=4), reach=st.integers(0, 9))  # fmt: skip
def test_floating_joints_of_a_bay_shut_each_other(
    stations: set[int], members: set[int], reach: int
) -> None:
    """Two joints between the same members weaken one bay (6.2), however far they are apart."""
    line = BearingLine(tuple(sorted(members)), tuple(range(len(members))), 1)
    run = JointRun(0, 1, 0, 61, tuple(sorted(stations)), line, "1")
    rules = replace(RULES, places=Places.FLOATING, stagger=reach)
    stack = stack_of([run], [False], rules, (Stock("0", 61, 61, 1),), Needs())

    def bay(at: int) -> int:
        return sum(member <= at for member in members)

    for k, at in enumerate(stack.stations):
        near = {stack.stations[j] for j in range(len(stack.stations)) if stack.near[k] >> j & 1}
        assert near == {
            other for other in stations if abs(other - at) < reach or bay(other) == bay(at)
        }
        assert spread(1 << k, stack.near) == stack.near[k]


def test_blocks_are_rows_of_consecutive_courses() -> None:
    assert [blocks(own) for own in ([], [3], [1, 2, 3], [1, 3, 4, 8])] == [[], [1], [3], [1, 2, 1]]


@MANY
@given(
    length=st.integers(40, 130), stations=st.sets(st.integers(1, 129), max_size=9),
    members=st.sets(st.integers(0, 130), max_size=6), stick=st.integers(30, 100),
    rules=st.builds(JointRules, st.just(Places.FRAMING), st.integers(0, 40), st.integers(0, 2),
                    st.just(16), st.just(5), st.integers(1, 4), st.just(2), st.booleans(),
                    st.booleans(), st.booleans()),
)  # fmt: skip
def test_a_graph_has_every_legal_way_and_no_other(
    length: int, stations: set[int], members: set[int], rules: JointRules, stick: int
) -> None:
    """Length, bearings and ends of each piece (6.1, 6.3, 6.4), and the cheapest of all ways."""
    line = BearingLine(tuple(sorted(members)), tuple(range(len(members))), 2)
    places = tuple(sorted(at for at in stations if at < length))
    run = JointRun(0, 1, 0, length, places, line, "1")
    stocks = (Stock("0", stick, stick, 1), Stock("1", stick - 9, stick - 9, 1))
    needs = Needs()
    graph = graph_of(run, rules, stocks, needs, {at: 1 << k for k, at in enumerate(places)})
    legal = [
        way for count in range(len(places) + 1) for way in combinations(places, count)
        if all(_stands(run, rules, stocks, a, b) for a, b in pairwise((0, *way, length)))
    ]  # fmt: skip
    found = graph.ways(600)
    assert found is not None
    assert sorted(tuple(places[node - 1] for node in way) for way in found) == sorted(legal)
    assert graph.size == sum(len(out) for out in graph.arcs)
    prices = [float((need.length * 7) % 31) for need in needs.all]
    nodes = [0.0, *(float(at % 5) for at in places), 0.0]
    forbidden = graph.mask(tuple(k + 1 for k, at in enumerate(places) if at % 2))
    _check_best(graph, found, prices, nodes, 0)
    _check_best(graph, found, prices, nodes, forbidden)
    assert graph.ways(len(found)) == found
    assert not found or graph.ways(len(found) - 1) is None
    for way in found:
        cuts = graph.cuts(way, rules)
        assert [cut.need for cut in cuts] == [needs.all[k] for k in graph.needs(way)]
        assert [(cut.low, cut.high) for cut in cuts] == list(
            pairwise((0, *(places[node - 1] for node in way), length))
        )


def _check_best(
    graph: Graph, every: list[tuple[int, ...]], prices: list[float], nodes: list[float], shut: int
) -> None:
    costs = [
        sum(prices[n] for n in graph.needs(way)) + sum(nodes[j] for j in way)
        for way in every
        if not graph.mask(way) & shut
    ]
    best = graph.best(prices, nodes, shut)
    assert (best is None) == (not costs)
    if best is not None:
        assert best[0] == min(costs)
        assert best[1] in every


def _stands(
    run: JointRun, rules: JointRules, stocks: tuple[Stock, ...], low: int, high: int
) -> bool:
    """Whether a piece from `low` to `high` may be laid, rule by rule."""
    at_low, at_high = low == run.low, high == run.high
    grid = rules.cut_to
    a = low if at_low else (2 * low + grid) // (2 * grid) * grid
    b = high if at_high else (2 * high + grid) // (2 * grid) * grid
    cut = b - a
    if at_low or at_high:
        cut = -(-cut // grid) * grid if rules.covered else cut // grid * grid
    if cut > max(stock.usable for stock in stocks):
        return False
    if at_low and at_high:
        return not rules.whole_where_it_fits
    half = run.line.half
    touched = sum(min(high, at + half) - max(low, at - half) >= rules.min_touch
                  for at in run.line.stations)  # fmt: skip
    if high - low < rules.min_piece or touched < rules.min_bearings:
        return False
    inner = not at_low and not at_high
    return not rules.end_matched or not inner or cut in {stock.usable for stock in stocks}


@pytest.mark.parametrize(
    ("supply", "usable", "free", "stations", "alone"),
    [(None, 60, False, (30,), True), (None, 59, False, (30,), False), (0, 60, False, (30,), False),
     (1, 60, False, (30,), True), (None, 60, True, (30,), False), (None, 60, True, (), True)],
)  # fmt: skip
def test_a_run_that_one_stick_holds_is_one_piece(
    supply: int | None, usable: int, free: bool, stations: tuple[int, ...], alone: bool
) -> None:
    """Unless joints are wished, or no such stick is left (6.1)."""
    rules = replace(RULES, whole_where_it_fits=not free)
    stocks = (Stock("0", usable, usable, 1, supply), Stock("1", 40, 40, 1))
    run = run_of(1, 0, 60, stations)
    assert is_single(run, rules, stocks) == alone
    assert whole_run(run, rules) == Need(60)


def test_needs_are_rounded_up_to_the_grain_or_to_a_whole_stick() -> None:
    """20 and 21 stand for 24 in steps of 8; 62 for a stick of 63, and not for 64."""
    needs = Needs(8, [90, 63])
    numbers = [needs.number(Need(length)) for length in (20, 21, 24, 62, 63, 65)]
    assert numbers == [0, 0, 0, 1, 1, 2]
    assert needs.all == [Need(24), Need(63), Need(72)]
    whole = Need(20, True, True)
    assert needs.standing_for(whole) == whole
    assert needs.standing_for(Need(20, True)) == Need(24, True)
    assert Needs(1, [63]).standing_for(Need(62)) == Need(62)


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
    fewest = cost * (min(map(len, shapes)) - 1)
    # Where joints may be anywhere, the stations are a choice of ours: the joints alone are sure.
    assert made.plan.bound == fewest if places is Places.ANYWHERE else made.plan.bound >= fewest


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
    flow = flow_of(master, stack, master.kind_of[0, 0], solved.duals, 80, 50_000)
    assert flow is not None
    again, sure = cutting.priced(20)
    assert again is not None
    assert sure is not None
    values = dict(zip(cutting.rows, sure.values, strict=True))
    graph = master.kind_of[0, 0].graph
    worths = [
        sum(values[job.needs.all[n]] for n in graph.needs(way)) + joint_cost * SCALE * len(way)
        for way in flow.ways.layouts
    ]
    threes = _threes(graph, list(flow.ways.layouts))
    orders = [list(three) for three in threes]
    for _ in range(runs - 3):
        orders = [[*own, c] for own in orders for a, b, c in threes if own[-2:] == [a, b]]
    assert flow.bound(master, sure) == min(sum(worths[k] for k in order) for order in orders)
    assert sum(flow.wanted(again)) == runs
    laid = flow.order(master, again, 50)
    assert laid is not None
    assert [flow.ways.layouts.index(way) for way in laid] in orders
