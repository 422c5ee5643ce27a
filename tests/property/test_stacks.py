"""Graphs, stacks and trails of courses, each against its definition tried out one by one."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.records import Need, Stock
from service.joints.graph import Graph
from service.joints.needs import Needs
from service.joints.pieces import Pieces
from service.joints.records import JointRules, JointRun, Places
from service.joints.stack import blocks, spread, stack_of
from service.joints.uncut import is_single, whole_run
from service.layout.bearings import BearingLine
from tests.strategies.budget import examples

MANY = examples(120)
NO_LINE = BearingLine((), (), 0)
RULES = JointRules(Places.FRAMING, 20, 0, 16, 5, 1, 1, end_matched=False)


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
                    st.just(16), st.just(5), st.integers(1, 4), st.just(1), st.booleans(),
                    st.booleans(), st.booleans()),
    most=st.none() | st.integers(0, 4),
)  # fmt: skip
def test_a_graph_has_every_legal_way_and_no_other(
    length: int,
    stations: set[int],
    members: set[int],
    rules: JointRules,
    stick: int,
    most: int | None,
) -> None:
    """Length, bearings and ends of each piece (6.1, 6.3, 6.4), and the cheapest of all ways.

    None has more joints than the most, or than the fewest with which there is any.
    """
    line = BearingLine(tuple(sorted(members)), tuple(range(len(members))), 2)
    places = tuple(sorted(at for at in stations if at < length))
    run = JointRun(0, 1, 0, length, places, line, "1", most=most)
    stocks = (Stock("0", stick, stick, 1), Stock("1", stick - 9, stick - 9, 1))
    needs = Needs()
    graph = Pieces(rules, stocks, needs).graph(run, {at: 1 << k for k, at in enumerate(places)})
    legal = [
        way for count in range(len(places) + 1) for way in combinations(places, count)
        if all(_stands(run, rules, stocks, a, b) for a, b in pairwise((0, *way, length)))
    ]  # fmt: skip
    if most is not None and legal:
        cap = max(most, min(map(len, legal)))
        legal = [way for way in legal if len(way) <= cap]
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
        cuts = graph.cuts(way, run, rules)
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
        cut = -(-cut // grid) * grid
    if cut > max(stock.usable for stock in stocks):
        return False
    if at_low and at_high:
        return not rules.whole_where_it_fits
    half = run.line.half
    touched = sum(min(high, at + half) - max(low, at - half) >= rules.min_touch
                  for at in run.line.stations)  # fmt: skip
    if min(high - low, cut) < rules.min_piece or touched < rules.min_bearings:
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
    needs = Needs(8, [Stock("0", 90, 90, 1), Stock("1", 63, 63, 1)])
    numbers = [needs.number(Need(length)) for length in (20, 21, 24, 62, 63, 65)]
    assert numbers == [0, 0, 0, 1, 1, 2]
    assert needs.all == [Need(24), Need(63), Need(72)]
    whole = Need(20, True, True)
    assert needs.standing_for(whole) == whole
    assert needs.standing_for(Need(20, True)) == Need(24, True)
    assert Needs(1, [Stock("0", 63, 63, 1)]).standing_for(Need(62)) == Need(62)


@MANY
@given(runs=RUNS, turned=st.lists(st.booleans(), min_size=5, max_size=5),
       spared=st.booleans(), matched=st.booleans(), grain=st.integers(1, 40))  # fmt: skip
def test_graphs_do_not_depend_on_which_were_made_before(
    runs: list[JointRun], turned: list[bool], spared: bool, matched: bool, grain: int
) -> None:
    """Pieces known from other runs are those of this one; on a coarser grain too."""
    rules = replace(RULES, spares_joints=spared, end_matched=matched, cut_to=2)
    own = [replace(run, turned=way, spared=(way, False), mitres=(0, 3))
           for run, way in zip(runs, turned, strict=False)]  # fmt: skip
    bits = {at: 1 << at for run in own for at in run.stations}
    fine, coarse = Needs(1, STICK), Needs(grain, STICK)
    shared = Pieces(rules, STICK, fine)
    graphs = [shared.graph(run, bits) for run in own]
    numbers = [coarse.number(need, fine.least[need]) for need in fine.all]
    alone_coarse = Needs(grain, STICK)
    for run, graph in zip(own, graphs, strict=True):
        alone = Needs(1, STICK)
        other = Pieces(rules, STICK, alone).graph(run, bits)
        assert _named(graph, fine) == _named(other, alone)
        rough = Pieces(rules, STICK, alone_coarse).graph(run, bits)
        assert _named(graph.renumbered(numbers, {}), coarse) == _named(rough, alone_coarse)
    assert (coarse.all, coarse.least) == (alone_coarse.all, alone_coarse.least)
    assert coarse.shortest == alone_coarse.shortest


def _named(graph: Graph, needs: Needs) -> list[list[tuple[int, Need]]]:
    """Where each piece leads and what is cut for it."""
    arcs = [[(to, needs.all[need]) for to, need in out] for out in graph.arcs]
    told = [(to, needs.all[graph.need(i, to)]) for i, out in enumerate(arcs) for to, _ in out]
    assert told == [arc for out in arcs for arc in out]
    assert graph.every_need == {need for out in graph.arcs for _, need in out}
    return arcs
