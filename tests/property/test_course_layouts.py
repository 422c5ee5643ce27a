"""Joints and sticks of a few courses against trying every layout and every cutting."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stock
from service.cutting.sticks.master import Master
from service.joints.course_order import Ways, cheapest, is_plain, ways_of
from service.joints.job import Pool, prepared
from service.joints.master import JointMaster
from service.joints.records import Blocked, Jointed, JointRules, JointRun, Places
from service.joints.solve import place_joints
from service.layout.bearings import BearingLine
from tests.independent import brute
from tests.independent.cut_plans import (
    Bar,
    CourseRules,
    layout_faults,
    pieces_of,
    plan_faults,
)
from tests.strategies.budget import FEW, LAW

SPACING, HALF, LEAST, STAGGER, REPEAT, KERF = 16, 1, 24, 24, 6, 1
RULES = JointRules(Places.FRAMING, LEAST, 0, STAGGER, REPEAT, 1, 1, end_matched=False)


def courses(length: int, count: int, first: int = 1) -> tuple[JointRun, ...]:
    """Equal runs, jointed on members every 16."""
    members = tuple(range(SPACING, length, SPACING))
    line = BearingLine(members, tuple(range(1, len(members) + 1)), HALF)
    allowed = tuple(at for at in members if LEAST <= at <= length - LEAST)
    return tuple(
        JointRun(0, first + k, 0, length, allowed, line, str(first + k)) for k in range(count)
    )


def stocks_of(lengths: set[int], premium: int) -> tuple[Stock, ...]:
    """Priced by the length, longer ones dearer by `premium` per cent."""
    return tuple(
        Stock(str(k), size, size, size * (100 + premium * k))
        for k, size in enumerate(sorted(lengths))
    )


STOCKS = st.builds(
    stocks_of,
    st.sets(st.sampled_from([48, 64, 80, 96, 120]), min_size=1, max_size=3),
    st.sampled_from([0, 3, 10]),
)


def verified(pool: Pool, made: Jointed) -> Jointed:
    """A layout that the verifier found sound."""
    run = pool.runs[0]
    rules = CourseRules(run.high, frozenset(run.stations), LEAST, STAGGER, REPEAT)
    joints = [[cut.low for cut in own[1:]] for own in made.cuts if own]
    assert layout_faults(rules, joints) == []
    bars = [Bar(stock.usable, stock.cost, stock.supply) for stock in pool.stocks]
    sticks = [(stick.stock, [need.length for need in stick.pieces]) for stick in made.plan.sticks]
    wanted = pieces_of(run.high, joints)
    assert plan_faults(bars, pool.kerf, wanted, sticks, made.plan.cost) == []
    assert made.plan.bound <= made.plan.cost
    return made


def least_cost(length: int, count: int, stocks: tuple[Stock, ...]) -> int | None:
    """Least cost by trying every layout and every cutting; None if no layout is legal."""
    limits = brute.Limits(max(s.usable for s in stocks), LEAST, 0, STAGGER, REPEAT, (), 1)
    places = courses(length, 1)[0].stations
    runs = [brute.Run(0, length, places)] * count
    if not brute.any_layout(runs, limits):
        return None
    return brute.least_cost(
        runs, limits, tuple(brute.Stick(s.usable, s.cost) for s in stocks), KERF
    )


@LAW
@given(
    length=st.integers(100, 170), count=st.integers(1, 3), stocks=STOCKS,
    effort=st.sampled_from(["standard", "thorough"]),
)  # fmt: skip
def test_bound_and_cost_lie_round_the_least_cost(
    length: int, count: int, stocks: tuple[Stock, ...], effort: str
) -> None:
    """Bound <= least cost of all layouts <= cost; blocked only where none is legal."""
    assume(length // max(s.usable for s in stocks) < 2 or count < 3)
    best = least_cost(length, count, stocks)
    pool = Pool(courses(length, count), (RULES,), stocks, KERF)
    made = place_joints(pool, EFFORTS[effort])
    if best is None:
        assert isinstance(made, Blocked)
        return
    assert isinstance(made, Jointed)
    assert verified(pool, made).plan.bound <= best <= made.plan.cost
    assert bound_of_the_programme(pool) <= best


def bound_of_the_programme(pool: Pool) -> int:
    """The programme's own bound, before a plan is found that it is held against."""
    job = prepared(pool)
    cutting = Master(pool.stocks, sorted({*job.needs.all, *job.fixed}), pool.kerf, least=job.least)
    master = JointMaster(cutting, job.stacks, job.needs.all, job.fixed, pool.joint_cost)
    return master.run(50)[1]


@LAW
@given(length=st.integers(100, 400), count=st.integers(3, 24), stocks=STOCKS)
def test_courses_keep_the_rules_and_come_near_their_bound(
    length: int, count: int, stocks: tuple[Stock, ...]
) -> None:
    """Larger rooms: sound, and thorough work is never worse than standard."""
    pool = Pool(courses(length, count), (RULES,), stocks, KERF)
    quick, standard = (place_joints(pool, EFFORTS[name]) for name in ("quick", "standard"))
    assert isinstance(quick, Jointed) == isinstance(standard, Jointed)
    if isinstance(standard, Jointed) and isinstance(quick, Jointed):
        assert verified(pool, standard).plan.cost >= verified(pool, quick).plan.bound
        assert standard.plan.bound <= quick.plan.cost


@LAW
@given(
    length=st.integers(100, 300), count=st.integers(1, 12), stocks=STOCKS,
    mitres=st.tuples(st.integers(0, 12), st.integers(0, 12)),
)  # fmt: skip
def test_bounds_of_nested_pieces_leave_only_what_can_be_cut(
    length: int, count: int, stocks: tuple[Stock, ...], mitres: tuple[int, int]
) -> None:
    """Nested pieces cost no more at least; their patterns are gone when they have been priced."""
    runs = tuple(replace(run, mitres=mitres) for run in courses(length, count))
    pool = Pool(runs, (RULES,), stocks, KERF)
    job = prepared(pool)
    if not any(stack.jointed for stack in job.stacks):
        return
    cutting = Master(pool.stocks, sorted({*job.needs.all, *job.fixed}), pool.kerf, least=job.least)
    master = JointMaster(cutting, job.stacks, job.needs.all, job.fixed, pool.joint_cost)
    _, apart = master.run(50)
    cutting.nest(job.needs.least)
    nested = master.best_bound(50, range(0, apart), lambda _: {})
    cutting.part()
    assert nested <= apart
    for pattern in cutting.patterns:
        room = pool.stocks[pattern.stock].usable + KERF
        assert sum((need.length + KERF) * number for need, number in pattern.pieces) <= room


@LAW
@given(length=st.integers(100, 400), count=st.integers(1, 24), stocks=STOCKS)
def test_any_legal_layout_is_found_where_a_search_finds_one(
    length: int, count: int, stocks: tuple[Stock, ...]
) -> None:
    """What tries whether the rules can be kept comes to the same end as the search, and is sound.

    A limit on a stock that another comes beside does not change that.
    """
    quick, any_legal = EFFORTS["quick"], replace(EFFORTS["quick"], any_legal=True)
    limited = (replace(stocks[0], supply=2), *stocks)
    for own in (stocks, limited):
        pool = Pool(courses(length, count), (RULES,), own, KERF)
        searched, tried = place_joints(pool, quick), place_joints(pool, any_legal)
        assert type(searched) is type(tried)
        if isinstance(tried, Jointed) and isinstance(searched, Jointed):
            assert verified(pool, tried).plan.cost >= verified(pool, searched).plan.bound


@FEW
@given(length=st.integers(100, 300), count=st.integers(6, 16), at=st.integers(3, 5), stocks=STOCKS)
def test_splitting_a_room_at_a_course_line_never_lowers_the_bound(
    length: int, count: int, at: int, stocks: tuple[Stock, ...]
) -> None:
    """Two rooms laid apart, free of each other's joints, cost at least the bound of either."""
    whole = place_joints(Pool(courses(length, count), (RULES,), stocks, KERF), EFFORTS["standard"])
    parts = [
        place_joints(Pool(courses(length, n), (RULES,), stocks, KERF), EFFORTS["standard"])
        for n in (at, count - at)
    ]
    assume(isinstance(whole, Jointed) and all(isinstance(part, Jointed) for part in parts))
    assert isinstance(whole, Jointed)
    for part in parts:
        assert isinstance(part, Jointed)
        assert part.plan.bound <= whole.plan.cost


@LAW
@given(length=st.integers(100, 170), stocks=STOCKS, joint=st.integers(2, 8))
def test_an_installed_neighbour_is_kept_away_from(
    length: int, stocks: tuple[Stock, ...], joint: int
) -> None:
    """The course before and the course after are there already: nothing is cut for them."""
    first, own, last = courses(length, 3)
    there = joint * SPACING
    before = replace(first, installed=(there,))
    after = replace(last, installed=(there,))
    made = place_joints(Pool((before, own, after), (RULES,), stocks, KERF), EFFORTS["standard"])
    limits = brute.Limits(max(s.usable for s in stocks), LEAST, 0, STAGGER, REPEAT, (), 1)
    free = [
        joints
        for joints in brute.joint_sets(brute.Run(0, length, own.stations), limits)
        if all(abs(at - there) >= STAGGER for at in joints)
    ]
    assert isinstance(made, Jointed) == bool(free)
    if isinstance(made, Jointed):
        assert (made.cuts[0], made.cuts[2]) == ((), ())
        assert tuple(cut.low for cut in made.cuts[1][1:]) in free
        assert sum(len(stick.pieces) for stick in made.plan.sticks) == len(made.cuts[1])


@LAW
@given(length=st.integers(100, 400), count=st.integers(1, 16), stocks=STOCKS)
def test_cut_as_you_go_keeps_the_rules_and_costs_no_less(
    length: int, count: int, stocks: tuple[Stock, ...]
) -> None:
    """Every offcut starts the next piece of the next course, or is lost."""
    pool = Pool(courses(length, count), (RULES,), stocks, KERF)
    planned = place_joints(pool, EFFORTS["standard"])
    if not isinstance(planned, Jointed) or planned.as_you_go is None:
        return
    made = verified(pool, planned.as_you_go)
    assert len({stick.stock for stick in made.plan.sticks}) == 1
    in_order = [cut.need for own in made.cuts for cut in own]
    assert sorted(need for stick in made.plan.sticks for need in stick.pieces) == sorted(in_order)
    assert planned.plan.bound == made.plan.bound
    assert planned.plan.cost <= made.plan.cost


def with_places(length: int, count: int, places: tuple[int, ...]) -> tuple[JointRun, ...]:
    """Equal runs, jointed at given stations."""
    allowed = tuple(at for at in places if LEAST <= at <= length - LEAST)
    return tuple(replace(run, stations=allowed) for run in courses(length, count))


@FEW
@given(
    length=st.integers(100, 170), turn=st.integers(30, 140), spacing=st.sampled_from([12, 20, 24]),
    count=st.integers(1, 3), stocks=STOCKS,
    fixed=st.lists(st.integers(10, 48), max_size=3),
)  # fmt: skip
def test_two_framings_and_pieces_of_other_work(
    length: int, turn: int, spacing: int, count: int, stocks: tuple[Stock, ...], fixed: list[int]
) -> None:
    """Members 16 apart up to a beam and otherwise beyond it; with them other pieces to be cut."""
    assume(length // max(s.usable for s in stocks) < 2 or count < 3)
    places = (*range(SPACING, turn, SPACING), *range(turn, length, spacing))
    pieces = tuple(map(Need, fixed))
    pool = Pool(with_places(length, count, places), (RULES,), stocks, KERF, fixed=pieces)
    limits = brute.Limits(max(s.usable for s in stocks), LEAST, 0, STAGGER, REPEAT, (), 1)
    runs = [brute.Run(0, length, pool.runs[0].stations)] * count
    made = place_joints(pool, EFFORTS["standard"])
    if not brute.any_layout(runs, limits):
        assert isinstance(made, Blocked)
        return
    sticks = tuple(brute.Stick(s.usable, s.cost) for s in stocks)
    best = brute.least_cost(runs, limits, sticks, KERF, tuple(fixed))
    assert isinstance(made, Jointed)
    assert best is not None
    assert made.plan.bound <= best <= made.plan.cost
    cut = Counter(need.length for stick in made.plan.sticks for need in stick.pieces)
    assert cut == Counter(fixed) + Counter(c.need.length for own in made.cuts for c in own)


def in_order(pool: Pool) -> Jointed:
    """The layout cut as you go."""
    planned = place_joints(pool, EFFORTS["quick"])
    assert isinstance(planned, Jointed)
    assert planned.as_you_go is not None
    return planned.as_you_go


def test_a_serpentine_by_hand() -> None:
    """Courses of 144 from sticks of 96: 96 + 48; of the 47 left, 32 start the second course.

    That must stay 24 from 96: from 32 it comes to 64 at the farthest, and the 63 left of that
    stick are too short for the 80 to the end.
    """
    pool = Pool(courses(144, 2), (RULES,), (Stock("0", 96, 96, 1),), KERF)
    made = in_order(pool)
    assert [[cut.need.length for cut in own] for own in made.cuts] == [[96, 48], [32, 32, 80]]
    assert made.plan.cost == 4


def test_a_serpentine_that_uses_its_offcuts() -> None:
    """Courses of 224 from sticks of 176: of the 127 left, 112 start the next course."""
    rules = replace(RULES, whole_where_it_fits=False)
    pool = Pool(courses(224, 2), (rules,), (Stock("0", 176, 176, 1),), KERF)
    made = in_order(pool)
    assert [[cut.need.length for cut in own] for own in made.cuts] == [[176, 48], [112, 112]]
    assert made.plan.cost == 3


@pytest.mark.parametrize("runs", [3, 5, 8])
def test_the_cheapest_trail_is_the_cheapest_order(runs: int) -> None:
    """Against every order of all layouts of a short course."""
    pool = Pool(courses(230, runs), (RULES,), stocks_of({160}, 0), KERF)
    stack = prepared(pool).stacks[0]
    assert is_plain(stack)
    graph = stack.graphs[0]
    assert graph is not None
    layouts = graph.ways(400)
    assert layouts is not None
    ways = ways_of(stack, graph, layouts, 500_000, complete=True)
    assert isinstance(ways, Ways)
    assert ways.complete
    prices = [sum((at * at) % 97 for at in joints) + 7 for joints in layouts]
    assert cheapest(ways, prices, runs) == cheapest_order(graph.places, layouts, prices, runs)


def cheapest_order(
    places: tuple[int, ...], layouts: list[tuple[int, ...]], prices: list[int], runs: int
) -> int:
    """Course by course, over what the last two may be."""
    at = [[places[node] for node in joints] for joints in layouts]

    def apart(a: int, b: int, least: int) -> bool:
        return all(abs(x - y) >= least for x in at[a] for y in at[b])

    numbers = range(len(layouts))
    costs = {
        (a, b): prices[a] + prices[b] for a in numbers for b in numbers if apart(a, b, STAGGER)
    }
    for _ in range(runs - 2):
        after: dict[tuple[int, int], int] = {}
        for (a, b), cost in costs.items():
            for c in numbers:
                if apart(b, c, STAGGER) and apart(a, c, REPEAT):
                    after[b, c] = min(after.get((b, c), 10**9), cost + prices[c])
        costs = after
    assert costs
    return min(costs.values())


def test_a_short_run_may_be_jointed_where_that_is_wished() -> None:
    """Runs of 127 from sticks of 120 and 144: whole ones cost more than jointed ones."""
    stocks = (Stock("0", 96, 96, 96), Stock("1", 144, 144, 400))
    pool = Pool(courses(130, 6), (RULES,), stocks, KERF)
    whole = place_joints(pool, EFFORTS["standard"])
    free = place_joints(
        replace(pool, rules=(replace(RULES, whole_where_it_fits=False),)), EFFORTS["standard"]
    )
    assert isinstance(whole, Jointed)
    assert isinstance(free, Jointed)
    assert all(len(own) == 1 for own in whole.cuts)
    assert free.plan.cost < whole.plan.cost
    assert all(b.low == a.high for own in free.cuts for a, b in pairwise(own))
