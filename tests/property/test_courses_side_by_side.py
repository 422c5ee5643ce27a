"""Windows over courses side by side: no legal layout breaks one, and bounds with them are sure."""

from __future__ import annotations

from collections import defaultdict

from hypothesis import assume, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.joints.bounds import Bounds, master_of, narrowed
from service.joints.job import Pool, Prepared, prepared
from service.joints.master import JointMaster
from service.joints.records import Jointed, JointRules, JointRun, Places
from service.joints.side_by_side import broken
from service.joints.solve import place_joints
from service.layout.bearings import BearingLine
from service.solver.programme import Solved
from tests.independent import brute
from tests.strategies.budget import examples

SPACING, LEAST, STAGGER, KERF = 16, 24, 24, 1
STANDARD = EFFORTS["standard"]

Span = tuple[int, int]

FAR = 176
"""Where the last member stands: as far from the first as any run reaches."""

STOCKS = (Stock("0", 84, 84, 84), Stock("1", 100, 100, 104))


def slanted(layers: list[list[Span]], repeat: int) -> Pool:
    """Layers of a run a course, each with ends of its own, on members 16 apart."""
    members = tuple(range(0, FAR + 1, SPACING))
    line = BearingLine(members, tuple(range(1, len(members) + 1)), 1)
    rules = JointRules(Places.FRAMING, LEAST, 0, STAGGER, repeat, 1, 1, end_matched=False)
    runs = [
        JointRun(number, 1 + k, low, high, places_of(low, high), line, f"{number}.{k}")
        for number, spans in enumerate(layers)
        for k, (low, high) in enumerate(spans)
    ]
    return Pool(tuple(runs), (rules,) * len(layers), STOCKS, KERF)


def places_of(low: int, high: int) -> tuple[int, ...]:
    return tuple(at for at in range(0, FAR + 1, SPACING) if low + LEAST <= at <= high - LEAST)


def limits_of(repeat: int, longest: int) -> brute.Limits:
    return brute.Limits(longest, LEAST, 0, STAGGER, repeat, (), 1)


def brute_runs(spans: list[Span]) -> list[brute.Run]:
    return [brute.Run(low, high, places_of(low, high)) for low, high in spans]


def programme(pool: Pool) -> tuple[Prepared, JointMaster]:
    """The programme with every layout of each run in it."""
    job = prepared(pool)
    master = master_of(job)
    for group in master.groups:
        for joints in group.graph.ways(1000) or ():
            master.add(group, joints)
    return job, master


SPAN = st.tuples(st.integers(0, 30), st.integers(135, 175))
REPEAT = st.sampled_from([0, 1, 20])


@st.composite
def courses(draw: st.DrawFn, most: int) -> list[Span]:
    """Three courses or more, all unlike or some alike, beside each other or not."""
    ends = draw(st.lists(SPAN, min_size=2, max_size=most, unique=True))
    return (
        ends if len(ends) > 2 else draw(st.lists(st.sampled_from(ends), min_size=3, max_size=most))
    )


@examples(30)
@given(spans=courses(4), repeat=REPEAT)
def test_no_legal_layout_breaks_a_window(spans: list[Span], repeat: int) -> None:
    """Every window that any shares of layouts could break, against all layouts by trying."""
    job, master = programme(slanted([spans], repeat))
    columns = len(master.cutting.programme.columns)
    windows = broken(job, master, Solved(0.0, (1.0,) * columns, ()))
    numbers: dict[int, list[int]] = defaultdict(list)
    for k in job.stacks[0].jointed:
        numbers[id(master.group_of[0, k])].append(k)
    assert windows or len({*spans}) == 1  # equal courses have the windows of all
    bits = {at: 1 << k for k, at in enumerate(job.stacks[0].stations)}
    for layout in brute.layouts(brute_runs(spans), limits_of(repeat, 100)):
        masks = [sum(bits[at] for at in joints) for joints in layout]
        for window in windows:
            joints = [masks[k] & mask for group, mask in window.inside for k in numbers[id(group)]]
            assert sum(map(int.bit_count, joints)) <= window.most


@examples(18)
@given(spans=courses(3), repeat=REPEAT)
def test_bounds_with_windows_are_no_more_than_the_least_cost(
    spans: list[Span], repeat: int
) -> None:
    """Over every layout and every cutting, however the same courses are told.

    Mirrored at a member, or from the last course to the first, they cost as much; two layers of
    them, kept apart, no more than twice that, and no less than one.
    """
    limits = limits_of(repeat, 100)
    sticks = tuple(brute.Stick(stock.usable, stock.cost) for stock in STOCKS)
    assume(brute.any_layout(brute_runs(spans), limits))
    best = brute.least_cost(brute_runs(spans), limits, sticks, KERF)
    assert best is not None
    mirrored = [(FAR - high, FAR - low) for low, high in spans]
    bounds = [bound_of(slanted([own], repeat)) for own in (spans, spans[::-1], mirrored)]
    assert max(bounds) <= best
    assert bounds[0] <= bound_of(slanted([spans, spans], repeat)) <= 2 * best
    made = place_joints(slanted([spans], repeat), STANDARD)
    assert isinstance(made, Jointed)
    assert made.plan.bound <= best <= made.plan.cost


def bound_of(pool: Pool) -> int:
    """The bound once windows are kept; no lower than without, and for both ways of cutting one."""
    job = prepared(pool)
    master = master_of(job)
    solved, apart = master.run(50)
    known = Bounds(apart, apart)
    found, bounds = narrowed(job, master, 50, solved, known, {}, 10**9)
    assert found is not None
    assert solved is not None
    assert found.objective >= solved.objective - 1e-6
    assert bounds.apart == bounds.nested >= apart
    return bounds.apart


def test_windows_raise_the_bound_where_a_wall_slants() -> None:
    """Runs of 175 to 105, each 7 shorter: over all courses at once the long half may do alike.

    Equal courses keep the windows of all of them, and break none of two.
    """
    pool = slanted([[(0, 175 - 7 * k) for k in range(11)]], 20)
    assert bound_of(pool) > master_of(prepared(pool)).run(50)[1]
    equal = slanted([[(0, 175)] * 4], 20)
    job, master = programme(equal)
    solved, _ = master.run(50)
    assert solved is not None
    assert broken(job, master, solved) == []
    assert bound_of(equal) == master_of(prepared(equal)).run(50)[1]
