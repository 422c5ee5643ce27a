"""Members, seams, blocks and widths of a roll: each where plain geometry puts it."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import cos, radians, sin

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.geometry.frame import Frame, frame_of
from service.geometry.rings import Polygon, rectangle
from service.geometry.surface import Member
from service.layout.bearings import (
    bearings_of,
    line_of,
    on_grid,
    positions,
    with_ends,
)
from service.layout.blocks import block_rows
from service.layout.panel_joints import PanelJointLine, crossed, seams_of
from service.layout.widths import RollStrip, Width, count, seams_between, strips_over, widths_over
from service.units.ticks import INCH
from tests.strategies.budget import examples

MANY = examples(200)
"""No answer is computed here, so many examples cost little."""

OUTLINE = ((10 * INCH, -7 * INCH), (130 * INCH, 20 * INCH), (90 * INCH, 110 * INCH))
TURNS = st.integers(0, 179)


def off(member: Member, frame: Frame, u: int, v: int) -> float:
    """How far the place with the stations (u, v) lies from a member's centre line."""
    x, y = frame.back((u, v))
    return abs(member.a * x + member.b * y - member.d)


@MANY
@given(direction=TURNS, normal=TURNS, offsets=st.lists(st.integers(-90, 90), min_size=1, max_size=4,
                                                       unique=True),
       thickness=st.integers(1, 6), v=st.integers(-50, 150))  # fmt: skip
@example(direction=0, normal=0, offsets=[16, 0], thickness=3, v=40)
@example(direction=0, normal=90, offsets=[16, 0], thickness=3, v=40)
@example(direction=90, normal=180 - 1, offsets=[5], thickness=2, v=7)
def test_bearings_lie_on_the_members(
    direction: int, normal: int, offsets: list[int], thickness: int, v: int
) -> None:
    """Their centres on the centre line, their sides half a thickness off; none if it runs along."""
    a, b = (round(f(radians(normal)), 15) for f in (cos, sin))
    members = tuple(Member(a, b, at * INCH, thickness * INCH // 4) for at in offsets)
    frame = frame_of(OUTLINE, Fraction(direction))
    found = bearings_of(members, frame)
    if (direction - normal) % 180 == 90:
        assert found == ()
        return
    assert [one.number for one in found] == list(range(1, len(members) + 1))
    assert [one.base for one in found] == sorted(one.base for one in found)
    is_square = (direction - normal) % 180 == 0
    assert all((one.slant == 0) == is_square for one in found)
    near = {min(members, key=lambda m, one=one: off(m, frame, one.base, 0)) for one in found}
    assert len(near) == len(members)
    for one in found:
        member = min(members, key=lambda m, one=one: off(m, frame, one.base, 0))
        for across in (0, v * INCH):
            at = one.at(across)
            assert off(member, frame, at, across) <= 4
            for side in (at - one.half, at + one.half):
                assert off(member, frame, side, across) == pytest.approx(
                    member.thickness / 2, abs=4
                )
    line = line_of(found, v * INCH)
    assert dict(zip(line.numbers, line.stations, strict=True)) == {
        one.number: one.at(v * INCH) for one in found
    }
    assert list(line.stations) == sorted(line.stations)


@MANY
@given(stations=st.lists(st.integers(0, 60), max_size=8, unique=True), half=st.integers(1, 4),
       low=st.integers(-2, 60), length=st.integers(1, 40), least=st.integers(1, 6))  # fmt: skip
def test_a_piece_touches_the_members_that_it_overlaps(
    stations: list[int], half: int, low: int, length: int, least: int
) -> None:
    """By as much as is asked for, or over the whole member where that is less."""
    high = low + length
    members = tuple(Member(1.0, 0.0, at, 2 * half) for at in sorted(stations))
    line = line_of(bearings_of(members, frame_of(((0, 0), (70, 0), (70, 9)), Fraction(0))), 0)
    found = [line.stations[k] for k in line.touched(low, high, least)]
    need = min(least, 2 * half)
    if length < need:
        return
    assert found == [
        at for at in sorted(stations) if min(high, at + half) - max(low, at - half) >= need
    ]


@MANY
@given(extent=st.integers(0, 200), spacing=st.integers(4, 60), first=st.integers(0, 30),
       thick=st.integers(1, 6))  # fmt: skip
@example(extent=48, spacing=16, first=0, thick=2)
@example(extent=48, spacing=16, first=16, thick=2)
def test_members_by_spacing(extent: int, spacing: int, first: int, thick: int) -> None:
    """Every spacing from the first on; with both ends, none stands in an end one."""
    regular = [first + k * spacing for k in range(300) if first + k * spacing <= extent]
    found = positions(extent, spacing, first)
    assert found == regular
    ends = (thick // 2, extent - thick // 2)
    free = {at for at in regular if min(abs(at - end) for end in ends) >= thick}
    assert with_ends(found, extent, thick) == sorted(free | set(ends))


@MANY
@given(extent=st.integers(0, 200), spacing=st.integers(4, 60), first=st.integers(-90, 90),
       thick=st.integers(1, 6))  # fmt: skip
def test_members_of_a_grid(extent: int, spacing: int, first: int, thick: int) -> None:
    """Every spacing to both sides of the first, where the member reaches behind the extent."""
    grid = (first + k * spacing for k in range(-300, 300))
    behind = [at for at in grid if at + thick / 2 > 0 and at - thick / 2 < extent]
    assert on_grid(extent, spacing, first, thick) == behind


QUARTER = INCH // 4


@MANY
@given(extent=st.integers(1, 400), spacing=st.integers(4, 48),
       gaps=st.tuples(st.integers(0, 8), st.integers(0, 8)),
       marks=st.sampled_from([(), (INCH, INCH // 2, QUARTER), (INCH,)]))  # fmt: skip
@example(extent=6, spacing=8, gaps=(0, 0), marks=())
@example(extent=102, spacing=24, gaps=(0, 0), marks=())
def test_rows_of_blocks_stand_at_the_ends_and_by_the_tape_between(
    extent: int, spacing: int, gaps: tuple[int, int], marks: tuple[int, ...]
) -> None:
    """Half a block of 1-1/2 in from each end, or the gap there; as few as may be (15.2)."""
    ends = [max(3, gap) * QUARTER for gap in gaps]
    wide = (gaps[0] * QUARTER, gaps[1] * QUARTER)
    rows = block_rows(extent * QUARTER, spacing * INCH, gaps=wide, marks=marks)
    between = extent * QUARTER - sum(ends)
    if between <= 0:
        assert rows == (extent * INCH // 8,)
        return
    assert (rows[0], rows[-1]) == (ends[0], ends[0] + between)
    apart = [b - a for a, b in pairwise(rows)]
    assert max(apart) <= spacing * INCH + 1
    assert len(apart) == 1 or between / (len(apart) - 1) > spacing * INCH
    if all(at % QUARTER == 0 for at in rows) and marks:
        assert len(set(apart[1:-1])) <= 1
        assert min(apart[0], apart[-1]) * 2 >= max(apart[1:-1], default=0)
    elif len(marks) != 1:
        assert max(apart) - min(apart) <= 2  # evenly spread: no step of the tape does


@pytest.mark.parametrize(("extent", "spacing", "expected"), [
    (380, 16, [0.75, *range(16, 369, 16), 379.25]),  # 378.5 / 24 bays = 15.77: 16, the last 11-1/4
    (180, 16, [0.75, *range(15, 166, 15), 179.25]),  # 178.5 / 12 = 14.9: 15, the last 14-1/4
    (122, 24, [0.75, 20, 40, 60, 80, 100, 121.25]),  # 120.5 / 6 = 20.08: 20, the last 21-1/4
    # 120.5 / 8 = 15.06: hooked at the wall 15 leaves 16-1/4, so both ends are 15-1/4.
    (122, 16, [0.75, 16, 31, 46, 61, 76, 91, 106, 121.25]),
    # 96 / 6 = 16: nothing to give, so all stand 16 in from 3/4 in.
    (97.5, 16, [0.75, 16.75, 32.75, 48.75, 64.75, 80.75, 96.75]),
])  # fmt: skip
def test_rows_of_blocks_by_hand(extent: float, spacing: int, expected: list[float]) -> None:
    """As a crew marks them with the tape hooked at the wall."""
    marks = (INCH, INCH // 2, QUARTER)
    rows = block_rows(int(extent * INCH), spacing * INCH, marks=marks)
    assert [at / INCH for at in rows] == expected


@MANY
@given(lines=st.lists(st.tuples(*[st.tuples(st.integers(0, 90), st.integers(0, 90))] * 2),
                      max_size=5),
       v=st.integers(-5, 95))  # fmt: skip
@example(lines=[((0, 0), (10, 10)), ((0, 0), (10, 11)), ((5, 9), (4, 2))], v=5)
@example(lines=[((3, 2), (3, 9)), ((7, 9), (7, 2))], v=2)
@example(lines=[((3, 2), (3, 9))], v=9)
def test_seams_are_crossed_where_their_lines_are(
    lines: list[tuple[tuple[int, int], tuple[int, int]]], v: int
) -> None:
    """By interpolation; a line that runs along as much as it rises is no seam."""
    frame = Frame((1.0, 0.0), (0.0, 1.0), (0, 0), (0, 0))
    steep = [sorted(line, key=lambda end: end[1]) for line in lines
             if abs(line[0][1] - line[1][1]) > abs(line[0][0] - line[1][0])]  # fmt: skip
    seams = seams_of(lines, frame)
    assert seams == tuple(PanelJointLine(low, high) for low, high in steep)
    expected = {
        low[0] + Fraction((high[0] - low[0]) * (v - low[1]), high[1] - low[1])
        for low, high in steep
        if low[1] <= v <= high[1]
    }
    found = crossed(seams, v)
    assert list(found) == sorted(found)
    assert {2 * at for at in found} <= {int(2 * at + d) for at in expected for d in (-1, 0, 1)}
    assert {(2 * at + 1) // 2 for at in expected} == set(found)


@MANY
@given(across=st.integers(1, 400), roll=st.integers(20, 120), lap=st.integers(0, 19),
       low=st.integers(-30, 30), starts_low=st.booleans())  # fmt: skip
@example(across=108, roll=108, lap=6, low=0, starts_low=True)
@example(across=210, roll=108, lap=6, low=0, starts_low=False)
def test_widths_of_a_roll_lap_and_cover(
    across: int, roll: int, lap: int, low: int, starts_low: bool
) -> None:
    """As few as cover; each is a roll wide, laps the one before, and owns what is new (13.2)."""
    high = low + across
    found = widths_over(low, high, roll, lap, starts_low)
    assert len(found) == count(across, roll, lap)
    reached = roll + (len(found) - 1) * (roll - lap)
    assert reached >= across
    assert len(found) == 1 or reached - (roll - lap) < across
    if not starts_low:  # turned over, so that the rest is said once
        found = tuple(
            Width(w.number, low + high - w.high, low + high - w.low,
                  (low + high - w.own[1], low + high - w.own[0]), w.lap, True)
            for w in found
        )  # fmt: skip
    for k, one in enumerate(found):
        near = low + k * (roll - lap)
        own_lap = lap if k else 0
        assert one == Width(k + 1, near, near + roll, (near + own_lap, near + roll), own_lap, True)


@MANY
@given(cells=st.lists(st.lists(st.booleans(), min_size=8, max_size=8), min_size=3, max_size=3),
       starts_low=st.booleans())  # fmt: skip
@example(cells=[[True] * 8, [True] * 8, [True, False] * 4], starts_low=True)
@example(cells=[[True, False] * 4, [False, True] * 4, [True] * 8], starts_low=False)
def test_strips_and_seams_of_a_chequered_wall(cells: list[list[bool]], starts_low: bool) -> None:
    """Three widths over a wall of cells ten wide: a strip for each row of cells, laps between."""
    roll, lap = 40, 4
    rows = widths_over(0, 112, roll, lap, starts_low)
    cover = tuple(
        Polygon(rectangle(10 * k, one.own[0], 10 * k + 10, one.own[1]))
        for one, own in zip(rows, cells, strict=True)
        for k, filled in enumerate(own)
        if filled
    )
    if not cover:
        return
    strips = strips_over([cover], rows)
    lengths = [_reaches(own) for own in cells]
    assert strips == tuple(
        RollStrip(k + 1, j + 1, a, b)
        for k, own in enumerate(lengths)
        for j, (a, b) in enumerate(own)
    )  # fmt: skip
    middles = [one.low + lap // 2 if starts_low else one.high - lap // 2 for one in rows]
    seams = [(seam.at, seam.low, seam.high) for seam in seams_between(rows, strips)]
    both = [[a and b for a, b in zip(one, two, strict=True)] for one, two in pairwise(cells)]
    shared = [
        (middles[k + 1], max(a, c), min(b, d))
        for k in range(2)
        for a, b in lengths[k + 1]
        for c, d in lengths[k]
        if max(a, c) < min(b, d)
    ]
    assert sorted(seams) == sorted(shared)
    assert sum(high - low for _, low, high in seams) == 10 * sum(map(sum, both))


def _reaches(cells: list[bool]) -> list[tuple[int, int]]:
    """Rows of filled cells, from their first to their last."""
    edges = [k for k, (a, b) in enumerate(pairwise([False, *cells, False])) if a != b]
    return [(10 * a, 10 * b) for a, b in zip(edges[::2], edges[1::2], strict=True)]
