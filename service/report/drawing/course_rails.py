"""The rails of courses: their numbers, edges and widths, at both ends of them."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable
from itertools import groupby
from typing import Final

from service.products.drawing import (
    Course,
    Lie,
    Point,
    Sheet,
    lie_of_course,
    station_text,
    width_text,
)
from service.report.drawing.labels import width_of
from service.report.drawing.rail import Rail, Side, Tick
from service.units.folding import folded

_ONE_ROW: Final = 180.0
"""Edges of courses that together are wider than this (mm) get two rows."""


def course_rails(courses: list[Course], sheet: Sheet) -> list[Rail]:
    """Numbers, edges and widths at both ends of courses; of oblique ones where they meet walls."""
    rails = []
    for lie, low, high in _ENDS:
        chosen = [one for one in courses if lie_of_course(one.at, one.end) == lie]
        if any(course.tapered for course in chosen):
            rails += _tapered_rails(chosen, low, high, sheet.unit)
        elif chosen:
            rails += _parallel_rails(chosen, low, high)
    oblique = [one for one in courses if lie_of_course(one.at, one.end) == "oblique"]
    return rails + _oblique_rails(oblique, sheet)


def _parallel_rails(courses: list[Course], low: Side, high: Side) -> list[Rail]:
    """Number and near edge at the low end, far edge and width at the high end."""
    return [
        _course_rail(low, "no.", _ticks(courses, lambda c: str(c.number)), led=True),
        _course_rail(low, "near edge", _ticks(courses, lambda c: c.near_text)),
        _course_rail(high, "far edge", _ticks(courses, lambda c: c.far_text, True), led=True),
        _width_rail(high, courses, lambda c: c.width_text, ""),
    ]


def _tapered_rails(courses: list[Course], low: Side, high: Side, unit: str) -> list[Rail]:
    """Far edge and width at both ends, as they are there; the number at the low end."""

    def line(end: int) -> Callable[[Course], str]:
        return lambda c: station_text(c.tapered.lines[end], unit) if c.tapered else ""

    def width(end: int) -> Callable[[Course], str]:
        return lambda c: width_text(c.tapered.widths[end], unit) if c.tapered else ""

    return [
        _course_rail(low, "no.", _ticks(courses, lambda c: str(c.number)), led=True),
        _course_rail(low, "far edge", _ticks(courses, line(0))),
        _width_rail(low, courses, width(0), f", {low} end"),
        _course_rail(high, "far edge", _ticks(courses, line(1), True), led=True),
        _width_rail(high, courses, width(1), f", {high} end"),
    ]


def _oblique_rails(courses: list[Course], sheet: Sheet) -> list[Rail]:
    """Beside each wall the numbers of courses that end there, and marks on it of far edges."""
    numbers: dict[Side, list[Tick]] = defaultdict(list)
    marks: dict[Side, list[Tick]] = defaultdict(list)
    for course in courses:
        for at in (course.at, course.end):
            numbers[_side_of(at, sheet)].append(Tick(at, str(course.number), course.number))
        for mark in course.marks:
            marks[_side_of(mark.at, sheet)].append(Tick(mark.at, mark.text, course.number))
    rails = []
    for side in _ALL_SIDES:
        if numbers[side]:
            rails.append(_course_rail(side, "no.", tuple(numbers[side]), led=True))
        if marks[side]:
            rows = 3 if side in {"bottom", "top"} else 1
            ticks = tuple(marks[side])
            rails.append(
                Rail(side, "mark", ticks, True, "course", 22, stroke=0.15, led=True, rows=rows)
            )
    return rails


def _side_of(at: Point, sheet: Sheet) -> Side:
    """The side of the sheet that a point lies nearest to."""
    xs = [x for ring in sheet.outline for x, _ in ring]
    ys = [y for ring in sheet.outline for _, y in ring]
    near: dict[Side, int] = {
        "left": at[0] - min(xs), "right": max(xs) - at[0],
        "bottom": at[1] - min(ys), "top": max(ys) - at[1],
    }  # fmt: skip
    return min(_ALL_SIDES, key=lambda side: near[side])


_ALL_SIDES: Final[tuple[Side, ...]] = ("left", "right", "bottom", "top")


def _course_rail(side: Side, heading: str, ticks: tuple[Tick, ...], led: bool = False) -> Rail:
    wide = folded(width_of(tick.text) for tick in ticks) > _ONE_ROW
    rows = 2 if wide and side in {"bottom", "top"} and heading != "no." else 1
    return Rail(side, heading, ticks, True, "course", 20, led=led, rows=rows)


_ENDS: Final[tuple[tuple[Lie, Side, Side], ...]] = (
    ("level", "left", "right"),
    ("upright", "bottom", "top"),
)
"""How courses lie, the side of their low ends, the side of their high ends."""


def _ticks(
    courses: list[Course], text: Callable[[Course], str], high: bool = False
) -> tuple[Tick, ...]:
    return tuple(
        Tick(course.end if high else course.at, text(course), course.number) for course in courses
    )


def _width_rail(side: Side, courses: list[Course], text: Callable[[Course], str], end: str) -> Rail:
    """One width for each row of courses that are alike, at the middle one; `end` says which."""
    alike = [list(row) for _, row in groupby(courses, key=text)]
    usual = Counter(map(text, courses)).most_common(1)[0][0]
    ticks = []
    for row in alike:
        course = row[len(row) // 2]
        at = course.end if side in {"right", "top"} else course.at
        said = f"no. {course.number}: {text(course)} wide{end}"
        listed = "" if text(course) == usual else said
        ticks.append(Tick(at, text(course), course.number, listed))
    return Rail(side, "width", tuple(ticks), False, "width", 22)
