"""Runs of rectangles with square holes, cut on a grid by plain intervals; rule 5.2."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.geometry.rings import Polygon, rectangle
from service.layout.courses import CourseBand, Scheme
from service.layout.runs import (
    NOTHING,
    Course,
    Cutout,
    cutout_of,
    lay_runs,
    parts_met,
    placed_courses,
)
from service.units.ticks import SIXTY_FOURTH
from tests.strategies.budget import examples

STEP = 10 * SIXTY_FOURTH
LENGTH, HIGH = 30, 12
Hole = tuple[int, int, int, int]
"""Low and high along, low and high across, in steps."""


@st.composite
def walls(draw: st.DrawFn) -> tuple[list[Hole], list[tuple[int, int]]]:
    """One hole in each third of the wall at most, and courses with or without joints between."""
    holes = []
    for third in (0, 10, 20):
        if draw(st.booleans()):
            low, near = draw(st.integers(1, 7)), draw(st.integers(1, 9))
            high = draw(st.integers(low + 1, 9))
            holes.append((third + low, third + high, near, draw(st.integers(near + 1, 11))))
    face, joint = draw(st.integers(1, 5)), draw(st.integers(0, 1))
    start = draw(st.integers(0, 1))
    courses = [(at, at + face) for at in range(start, HIGH - face + 1, face + joint)]
    return holes, courses


def cut_in_two(hole: Hole, course: tuple[int, int]) -> bool:
    return hole[2] <= course[0] and course[1] <= hole[3]


def expected_runs(holes: list[Hole], course: tuple[int, int]) -> list[tuple[int, int]]:
    """From hole to hole of those that leave nothing of the course."""
    across = [hole for hole in holes if cut_in_two(hole, course)]
    edges = [0, *(edge for hole in across for edge in hole[:2]), LENGTH]
    return list(zip(edges[::2], edges[1::2], strict=True))


def expected_cutouts(holes: list[Hole], course: tuple[int, int]) -> list[tuple[str, Hole]]:
    """Effect, and the hole, of each hole that meets a course."""
    met = [hole for hole in holes if hole[2] < course[1] and hole[3] > course[0]]
    return [(_effect(hole[2] - course[0], course[1] - hole[3]), hole) for hole in met]


def _effect(below: int, above: int) -> str:
    if below <= 0 and above <= 0:
        return "cut_in_two"
    return "hole" if below > 0 and above > 0 else "notch"


@examples(150)
@given(wall=walls(), least=st.integers(0, 6))
@example(wall=([(3, 8, 2, 6), (12, 15, 4, 5)], [(0, 4), (4, 8), (8, 12)]), least=4)
def test_runs_and_cutouts_of_a_wall(
    wall: tuple[list[Hole], list[tuple[int, int]]], least: int
) -> None:
    holes, sides = wall
    region = (_wall(holes),)
    courses = tuple(
        Course(k + 1, a * STEP, b * STEP, "none", True) for k, (a, b) in enumerate(sides)
    )
    cutouts = [
        cutout_of(f"o{k}", *met)
        for k, hole in enumerate(holes)
        for met in parts_met(courses, (Polygon(_ring(hole)),))
    ]
    made = lay_runs(region, courses, cutouts, least * STEP)
    assert (made.courses, made.snap) == (courses, 0)
    kept, gone = [], []
    for k, side in enumerate(sides):
        runs = expected_runs(holes, side)
        long = [run for run in runs if run[1] - run[0] >= least]
        kept += [(k + 1, j + 1, a * STEP, b * STEP) for j, (a, b) in enumerate(long)]
        gone += [(a * STEP, b * STEP) for a, b in runs if b - a < least]
    assert [(run.course, run.number, run.low, run.high) for run in made.runs] == kept
    assert [part.box[:2] for part in made.dropped] == gone
    _check_cutouts(holes, sides, made.cutouts)
    for run in made.runs:
        assert run.cutouts == tuple(
            one for one in made.cutouts
            if one.course == run.course and one.effect != "cut_in_two"
            and run.low < one.low < run.high
        )  # fmt: skip
    assert made.open_joints == _between(holes, sides)


def _ring(hole: Hole) -> tuple[tuple[int, int], ...]:
    low, high, near, far = (edge * STEP for edge in hole)
    return rectangle(low, near, high, far)


def _wall(holes: list[Hole]) -> Polygon:
    outer = rectangle(0, 0, LENGTH * STEP, HIGH * STEP)
    return Polygon(outer, tuple(_ring(hole)[::-1] for hole in holes))


def _check_cutouts(
    holes: list[Hole], sides: list[tuple[int, int]], found: tuple[Cutout, ...]
) -> None:
    expected = [
        (f"o{holes.index(hole)}", k + 1, effect, hole[0] * STEP, hole[1] * STEP,
         (max(0, hole[2] - side[0]) * STEP, max(0, side[1] - hole[3]) * STEP))
        for k, side in enumerate(sides)
        for effect, hole in expected_cutouts(holes, side)
    ]  # fmt: skip
    made = [(one.opening, one.course, one.effect, one.low, one.high, one.legs) for one in found]
    assert sorted(made) == sorted(expected)


def _between(holes: list[Hole], sides: list[tuple[int, int]]) -> int:
    """Twice the area outside of all courses, cell by cell."""
    cells = 0
    for y in range(HIGH):
        if any(a <= y < b for a, b in sides):
            continue
        for x in range(LENGTH):
            cells += not any(h[0] <= x < h[1] and h[2] <= y < h[3] for h in holes)
    return 2 * cells * STEP * STEP


@pytest.mark.parametrize("starts_low", [True, False])
def test_a_hole_meets_a_course_by_more_than_a_64th(starts_low: bool) -> None:
    """1/64 in counts as nothing (5.2), with what snapping moves; a tick more is met.

    So is what is left of a course.
    """
    strips = [CourseBand(k * STEP, (k + 1) * STEP, "none") for k in range(3)]
    wall = (Polygon(rectangle(0, 0, LENGTH * STEP, 3 * STEP)),)
    courses = placed_courses(Scheme("full_first", tuple(strips), 0), wall, starts_low)
    assert [one.number for one in courses] == [1, 2, 3]
    order = courses if starts_low else courses[::-1]
    assert [(one.low, one.high) for one in order] == [(s.near, s.far) for s in strips]
    assert all(one.starts_low == starts_low for one in courses)
    for over, count in ((0, 1), (SIXTY_FOURTH, 1), (NOTHING, 1), (NOTHING + 1, 3)):
        hole = (Polygon(rectangle(STEP, STEP - over, 2 * STEP, 2 * STEP + over)),)
        assert len(list(parts_met(courses, hole))) == count
    for left, effect in ((SIXTY_FOURTH, "cut_in_two"), (NOTHING + 1, "hole")):
        hole = (Polygon(rectangle(STEP, STEP + left, 2 * STEP, 2 * STEP - left)),)
        (cutout,) = (cutout_of("o", *met) for met in parts_met(courses, hole))
        legs = 0 if effect == "cut_in_two" else left
        assert (cutout.effect, cutout.legs) == (effect, (legs, legs))


def test_the_middle_and_the_face_of_a_course() -> None:
    edges = [0, 3 * STEP, 7 * STEP]
    made = [Course(k + 1, a, b, "none", True) for k, (a, b) in enumerate(pairwise(edges))]
    assert [(one.face, one.middle) for one in made] == [(3 * STEP, 3 * STEP // 2),
                                                        (4 * STEP, 5 * STEP)]  # fmt: skip
