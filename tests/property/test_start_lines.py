"""The start line with the widest smallest rip, against trying every line of a fine grid (3.9)."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.layout.courses import Widths
from service.layout.ranking import Edges
from service.layout.start_lines import best_line, smallest_rip
from service.units.ticks import INCH, SIXTY_FOURTH
from tests.strategies import requests, shapes, transforms
from tests.strategies.asking import answered
from tests.strategies.budget import LAW, examples

Request = dict[str, Any]
Sides = list[tuple[float, bool]]
"""Edges along the boards by their distance from the start, and whether the region is beyond."""

COVER = Fraction(41, 8)
GAP = Fraction(1, 2)
NOTHING = Fraction(1, 64)


def smallest(
    courses: list[tuple[Any, Any]], sides: Sides, cover: Any, nothing: Any, drops: Any
) -> Any:
    """The narrowest strip left of any course at any edge; a whole board where none is ripped.

    One of up to `drops` is not laid.
    """
    left = [cover]
    for low, high in courses:
        for at, is_beyond in sides:
            strip = high - at if is_beyond else at - low
            if low <= at <= high and drops < strip < cover - nothing and high - low > nothing:
                left.append(strip)
    return min(left)


def tried(
    net: Any, sides: Sides, cover: Any, spacer: Any, step: Any, nothing: Any, drops: Any
) -> Any:
    """The widest smallest rip over a grid of start lines, every one of them laid out."""
    ends = [(0, True), (net, False), *sides]
    best, line = 0, step
    while line <= cover + spacer:
        courses, near = [], line - cover
        while near < net:
            courses.append((max(0, near), min(net, near + cover)))
            near += cover + spacer
        if line > cover + nothing:
            courses.insert(0, (0, max(0, line - cover - spacer)))
        whole = [(a, b) for a, b in courses if b - a > nothing]
        best = max(best, smallest(whole, ends, cover, nothing, drops))
        line += step
    return best


SIXTEENTHS = st.integers(0, 60 * 16).map(lambda n: n * INCH // 16)
EDGES = st.lists(SIXTEENTHS, max_size=3, unique=True).map(tuple)


@examples(60)
@given(net=st.integers(10 * 16, 60 * 16).map(lambda n: n * INCH // 16 + 7),
       cover=st.integers(40, 90).map(lambda n: n * INCH // 16), near=EDGES, far=EDGES,
       spacer=st.sampled_from([0, 0, INCH // 8]),
       drops=st.sampled_from([SIXTY_FOURTH, INCH // 8]))  # fmt: skip
@example(121 * INCH, 41 * INCH // 8, (), (), 0, SIXTY_FOURTH)
@example(48 * INCH, 4 * INCH, (20 * INCH,), (30 * INCH,), 0, SIXTY_FOURTH)
@example(48 * INCH + INCH // 8, 4 * INCH, (), (), 0, INCH // 8)
def test_no_line_of_a_fine_grid_leaves_a_wider_smallest_rip(
    net: int, cover: int, near: tuple[int, ...], far: tuple[int, ...], spacer: int, drops: int
) -> None:
    """To 1/64 in, which is no rip (3.1); what stands beside both ends of a course is left out.

    Where gaps give, a strip of up to 1/8 in is none either (3.9).
    """
    reach = range(cover + spacer, net - cover - spacer)
    nears, fars = tuple(v for v in near if v in reach), tuple(v for v in far if v in reach)
    own = {v: v for v in (*nears, *fars)}
    edges = Edges(nears, fars, gives=drops, near_gives=own, far_gives=own)
    scheme = best_line(Widths(net, cover, spacer, 0, drops, drops), edges)
    assert scheme is not None
    sides = [(at, True) for at in edges.near_side] + [(at, False) for at in edges.far_side]
    best = tried(net, sides, cover, spacer, INCH // 32, SIXTY_FOURTH, drops)
    found = min(cover, smallest_rip(scheme, edges))
    assert found >= best - SIXTY_FOURTH
    laid = [(strip.near, strip.far) for strip in scheme.strips]
    ends: Sides = [(laid[0][0], True), (laid[-1][1], False)]
    assert found == smallest(laid, [*ends, *sides], cover, SIXTY_FOURTH, drops)


def test_the_crossing_is_wider_than_every_jump() -> None:
    """N = 121, coverage 5-1/8: a whole course leaves 3-1/8, the crossing 4-1/8 (3.6, 3.9)."""
    scheme = best_line(Widths(121 * INCH, 41 * INCH // 8), Edges())
    assert scheme is not None
    assert scheme.first == scheme.last == 33 * INCH // 8


def laid_out(request: Request) -> tuple[list[tuple[float, float]], str]:
    """Courses as low and high stations from the low side, and the start that was used."""
    answer = answered(request)
    rows = [sorted((row["near"], row["far"])) for row in answer["courses"]]
    (start,) = [row["start"] for row in answer["alternatives"] if row["chosen"]]
    return sorted((low, high) for low, high in rows), start


def walls(ring: list[list[float]]) -> Sides:
    """Level edges of an outline, moved in by the gap."""
    found: Sides = []
    turn = sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairwise([*ring, ring[0]]))
    ring = ring if turn > 0 else ring[::-1]
    for (ax, ay), (bx, by) in pairwise([*ring, ring[0]]):
        if ay == by:
            found.append((ay + 0.5, True) if bx > ax else (ay - 0.5, False))
    return found


@LAW
@given(ring=shapes.ells() | shapes.tees() | shapes.skylines())
def test_rooms_are_laid_from_the_best_line(ring: list[list[float]]) -> None:
    """Where no set way leaves half a board at every edge, no line of the tape does better."""
    low, high = min(y for _, y in ring), max(y for _, y in ring)
    product = requests.board("16 ft", cover=5.125, profile="square_edge", overall=5.125)
    request = requests.job(requests.outline(ring), product, when_blocked="relax")
    courses, _ = laid_out(request)
    sides = [(at - low, beyond) for at, beyond in walls(ring)]
    found = smallest(courses, sides, 5.125, 1 / 64, 1 / 8)
    if found >= 5.125 / 2:
        return
    best = tried(high - low - 1, [(at - 0.5, beyond) for at, beyond in sides], 5.125, 0, 1 / 16,
                 1 / 64, 1 / 8)  # fmt: skip
    assert found >= best - 1 / 32


INNER = [[0, 0], [240, 0], [240, 108], [151, 108], [151, 192], [0, 192]]
"""A room with an inner corner, where each set way leaves a narrow rip."""


def test_a_room_with_an_inner_corner_is_slid() -> None:
    """Set ways leave 1-3/8 in and less; the wall at 108 and the far one share 2-1/4 (3.9)."""
    request = requests.job(requests.outline(INNER), requests.board("16 ft"))
    courses, start = laid_out(request)
    assert start == "slid"
    sides = walls(INNER)
    assert smallest(courses, sides, 5.125, 1 / 64, 1 / 8) == pytest.approx(2.25, abs=1e-5)
    for same in (
        transforms.started_elsewhere(request, 2, True, True),
        transforms.in_millimetres(request),
    ):
        scale = 25.4 if same["unit"] == "mm" else 1
        again, start = laid_out(same)
        assert start == "slid"
        assert [(a / scale, b / scale) for a, b in again] == [pytest.approx(c) for c in courses]
    turned = [[x, 192 - y] for x, y in reversed(INNER)]
    area = requests.outline(turned, layer={"start_side": "high"})
    again, _ = laid_out(requests.job(area, requests.board("16 ft")))
    assert [(192 - b, 192 - a) for a, b in reversed(again)] == [pytest.approx(c) for c in courses]


@pytest.mark.parametrize("asked", [{"start": "balanced"}, {"aim": [{"at": 43, "on": "joint"}]}])
def test_a_start_or_an_aim_that_was_sent_is_kept(asked: Request) -> None:
    area = requests.outline(INNER, layer=asked)
    _, start = laid_out(requests.job(area, requests.board("16 ft"), when_blocked="relax"))
    assert start == asked.get("start", "aim")


def test_a_level_wall_begins_whole_at_the_bottom() -> None:
    """Yields to a sent start and to a rip under the least; its groove is not ripped off (3.9)."""
    board = requests.board("16 ft")
    for edges in ("covered", "bare"):
        area = requests.room(180, 96, type="wall", layer={"edges": edges})
        (first, *_), start = laid_out(requests.job(area, board))
        assert start == "full_first"
        assert first[1] - first[0] == pytest.approx(5.125)
    shared = requests.room(180, 98, type="wall", layer={"start": "balanced"})
    assert laid_out(requests.job(shared, board))[1] == "balanced"
    narrow = answered(requests.job(requests.room(180, 1 + 18 * 5.125 + 0.5, type="wall"), board))
    assert "bottom-ripped" in {finding["code"] for finding in narrow["findings"]}
    assert min(row["width"] for row in narrow["courses"]) > 2.5


@pytest.mark.parametrize("direction", [30, 45, 120])
@pytest.mark.parametrize("side", ["low", "high"])
def test_a_diagonal_field_has_a_joint_at_the_middle_of_its_extent(
    direction: int, side: str
) -> None:
    """A line through the middle of a rectangle, whichever side is laid first (3.9)."""
    layer = {"direction": direction, "start_side": side}
    answer = answered(requests.job(requests.room(150, 96, layer=layer), requests.board("16 ft")))
    middle = shapes.extent([[0, 0], [150, 0], [150, 96], [0, 96]], direction + 90) / 2
    edges = [edge for row in answer["courses"] for edge in (row["near"], row["far"])]
    assert min(abs(edge - middle) for edge in edges) < 1e-4
