"""End joints and rows of sheets against every possibility, tried one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, pairwise, product

from hypothesis import example, given
from hypothesis import strategies as st

from service.geometry.breadth import Breadth
from service.layout.bearings import BearingLine
from service.layout.panel_runs import Joints, PanelRules, PanelRun
from service.layout.panels import arrange, ways
from service.layout.rows import rows_by_members, rows_by_width
from service.layout.runs import Course
from tests.strategies.budget import LAW, examples

SIXTEENTH = 10
"""Lengths here are sixteenths of an inch, ten ticks each: small numbers for hand and eye."""


def sixteenths(inches: float) -> int:
    """Inches as the small ticks of this file."""
    return round(inches * 16) * SIXTEENTH


@st.composite
def rows_of_one_surface(draw: st.DrawFn) -> list[PanelRun]:
    """One to three rows over the same members, all as long or the last one shorter."""
    spacing = sixteenths(draw(st.sampled_from([12, 16, 19.25, 24])))
    first = sixteenths(draw(st.integers(1, 24)))
    length = sixteenths(draw(st.integers(60, 260)))
    line = line_of(first, spacing, length)
    rows = draw(st.integers(1, 3))
    last = length - draw(st.sampled_from([0, 0, sixteenths(40)]))
    highs = [length] * (rows - 1) + [last]
    return [run_of(k + 1, 0, high, line) for k, high in enumerate(highs)]


def line_of(first: int, spacing: int, length: int) -> BearingLine:
    """Members of 1-1/2 in."""
    stations = tuple(range(first, length, spacing))
    return BearingLine(stations, tuple(range(1, len(stations) + 1)), sixteenths(0.75))


def run_of(row: int, low: int, high: int, line: BearingLine) -> PanelRun:
    """A run whose joints may be on every member within it."""
    stations = tuple(at for at in line.stations if low < at < high)
    return PanelRun(row, low, high, line, stations, Breadth((low, high), (0,), (1,)))


@st.composite
def some_rules(draw: st.DrawFn) -> PanelRules:
    """Sheets of 4, 8 or 10 ft; rules about as in the defaults."""
    return PanelRules(
        most=sixteenths(draw(st.sampled_from([48, 95.875, 96, 120]))),
        least=sixteenths(draw(st.sampled_from([12, 24]))),
        bearings=draw(st.integers(2, 3)),
        gap=sixteenths(0.125),
        stagger=sixteenths(draw(st.sampled_from([0, 12, 16, 40]))),
        corner=0,
        touch=sixteenths(0.5),
    )


def legal(run: PanelRun, joints: Sequence[int], rules: PanelRules) -> bool:
    """Lengths and bearings of each piece, by its overlap with every member (11.5)."""
    if not joints and run.high - run.low <= rules.most:
        return True
    half = rules.gap // 2
    edges = [run.low - half, *joints, run.high + half]
    for a, b in pairwise(edges):
        low, high = a + half, b - half
        touched = [
            at for at in run.line.stations
            if min(high, at + run.line.half) - max(low, at - run.line.half) >= rules.touch
        ]  # fmt: skip
        if not rules.least <= high - low <= rules.most or len(touched) < rules.bearings:
            return False
    return True


def every_way(run: PanelRun, rules: PanelRules) -> list[Joints]:
    """All sets of stations whose pieces are legal."""
    if run.high - run.low <= rules.most:
        return [()]
    found = []
    for count in range(1, (run.high - run.low) // max(1, rules.least) + 1):
        found += [way for way in combinations(run.stations, count) if legal(run, way, rules)]
    return found


def apart(joints: Sequence[Joints], stagger: int) -> bool:
    """Whether joints of neighbouring rows keep the stagger."""
    return all(abs(a - b) >= stagger for one, two in pairwise(joints) for a in one for b in two)


@LAW
@given(runs=rows_of_one_surface(), rules=some_rules())
def test_a_run_has_the_fewest_pieces_that_each_first_joint_allows(
    runs: list[PanelRun], rules: PanelRules
) -> None:
    run = runs[0]
    fewest: dict[tuple[int, ...], int] = {}
    for way in every_way(run, rules):
        fewest[way[:1]] = min(len(way), fewest.get(way[:1], len(way)))
    found = ways(run, rules)
    assert all(legal(run, way, rules) for way in found)
    assert {way[:1]: len(way) for way in found} == fewest


@LAW
@given(runs=rows_of_one_surface(), rules=some_rules())
def test_rows_are_jointed_wherever_any_joints_would_do(
    runs: list[PanelRun], rules: PanelRules
) -> None:
    found = arrange(runs, rules)
    for one in found:
        assert all(legal(run, way, rules) for run, way in zip(runs, one.joints, strict=True))
        assert apart(one.joints, rules.stagger)
    able = [every_way(run, rules) for run in runs]
    assert bool(found) == any(apart(joints, rules.stagger) for joints in product(*able))


@LAW
@given(runs=rows_of_one_surface(), rules=some_rules())
def test_a_mirror_never_shows_joints_where_none_were(
    runs: list[PanelRun], rules: PanelRules
) -> None:
    turned = [_mirrored(run) for run in runs]
    assert bool(arrange(runs, rules)) == bool(arrange(turned, rules))


def _mirrored(run: PanelRun) -> PanelRun:
    line = replace(run.line, stations=tuple(-at for at in reversed(run.line.stations)))
    return run_of(run.row, -run.high, -run.low, line)


@LAW
@given(runs=rows_of_one_surface(), rules=some_rules(), by=st.integers(-900, 900))
def test_a_surface_that_is_moved_has_its_joints_moved(
    runs: list[PanelRun], rules: PanelRules, by: int
) -> None:
    moved = [
        run_of(run.row, run.low + by, run.high + by,
               replace(run.line, stations=tuple(at + by for at in run.line.stations)))
        for run in runs
    ]  # fmt: skip
    plain = [one.joints for one in arrange(runs, rules)]
    shifted = [tuple(tuple(at + by for at in way) for way in joints) for joints in plain]
    assert [one.joints for one in arrange(moved, rules)] == shifted


@LAW
@given(
    net=st.integers(6, 400),
    width=st.sampled_from([24, 47.875, 48]),
    gap=st.sampled_from([0, 0.125]),
    least=st.sampled_from([0, 12]),
    starts_low=st.booleans(),
)
def test_rows_and_gaps_fill_the_width_and_no_strip_is_narrow(
    net: int, width: float, gap: float, least: int, starts_low: bool
) -> None:
    """Faces and gaps add up, but for less than a gap that may stay open at the wall (11.4)."""
    high, full, apart_by = sixteenths(net), sixteenths(width), sixteenths(gap)
    rows = rows_by_width(0, high, full, apart_by, sixteenths(least), starts_low)
    faces = [row.high - row.low for row in rows]
    filled = sum(faces) + apart_by * (len(rows) - 1)
    assert filled == high or 0 < high - filled <= apart_by
    assert all(0 < face <= full for face in faces)
    assert len(rows) == 1 or min(faces) >= min(sixteenths(least), full // 2)
    assert len(rows) == -(-(filled + apart_by) // (full + apart_by))
    in_order = rows if starts_low else rows[::-1]
    assert all(b.low - a.high == apart_by for a, b in pairwise(in_order))
    check_names(rows, full, starts_low)


def check_names(rows: Sequence[Course], full: int, starts_low: bool) -> None:
    """Numbers in the order of laying, from the side that was asked for; what is whole is no rip."""
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    assert all(row.starts_low == starts_low for row in rows)
    assert all((row.rip == "none") == (row.high - row.low == full) for row in rows)


@examples(200)
@given(
    net=st.integers(30 * 16, 260 * 16),
    width=st.sampled_from([24, 47.875, 48]),
    spacing=st.sampled_from([12, 16, 24, 48]),
    first=st.integers(1, 24 * 16),
    starts_low=st.booleans(),
)
@example(net=96 * 16 + 1, width=47.875, spacing=48, first=48 * 16, starts_low=True)
@example(net=96 * 16 + 2, width=47.875, spacing=48, first=48 * 16, starts_low=False)
@example(net=96 * 16 + 3, width=47.875, spacing=48, first=48 * 16, starts_low=True)
@example(net=48 * 16, width=47.875, spacing=16, first=16, starts_low=True)
def test_rows_along_members_meet_on_members_or_not_at_all(
    net: int, width: float, spacing: int, first: int, starts_low: bool
) -> None:
    """The middle of each seam is a member's; None only where no set of members would do.

    Here too less than a gap may stay open at the wall.
    """
    high, full, gap = net * SIXTEENTH, sixteenths(width), sixteenths(0.125)
    seats = [at * SIXTEENTH for at in range(first, net, spacing * 16)]
    rows = rows_by_members(0, high, full, gap, seats, sixteenths(12), starts_low)
    if rows is None:
        turned = seats if starts_low else [high - at for at in seats]
        assert not _reachable(high, full, gap, turned)
        return
    in_order = rows if starts_low else rows[::-1]
    faces = [row.high - row.low for row in rows]
    assert rows[0].low == 0 if starts_low else rows[0].high == high
    open_ = high - rows[-1].high if starts_low else rows[-1].low
    assert open_ == 0 or (0 < open_ <= gap and faces[-1] == full)
    assert all(0 < face <= full for face in faces)
    assert all((a.high + b.low) // 2 in seats for a, b in pairwise(in_order))
    assert all(b.low - a.high == gap for a, b in pairwise(in_order))
    check_names(rows, full, starts_low)
    if len(rows) > 1 and faces[-1] < sixteenths(12):
        turned = seats if starts_low else [high - at for at in seats]
        before = sum(faces[:-2]) + gap * (len(rows) - 2) - gap // 2 if len(rows) > 2 else 0
        assert not any(
            at - before >= sixteenths(12) + gap and high - at - gap // 2 >= sixteenths(12)
            for at in turned
        ), "a seam that could have left more for the last row"


def _reachable(high: int, full: int, gap: int, seats: list[int]) -> bool:
    """Whether some seams lead from edge to edge with no row wider than a sheet."""
    able = [0]
    for at in [*sorted(seats), high]:
        own, leave = (gap // 2, 0) if at < high else (0, gap)
        if any(0 < at - own - (a + (gap // 2 if a else 0)) <= full + leave for a in able):
            able.append(at)
    return high in able
