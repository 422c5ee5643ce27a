"""Rails: rows and columns of numbers beside a drawing, read off marks and members.

A rail stands on one side of the drawing and writes each of its ticks at the height (or length)
where the mark lies: course numbers and edge stations, joint stations, member stations.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final, Literal, TypeAlias

from service.products.drawing import (
    CentreLine,
    Course,
    DrawnLayer,
    Joint,
    Lie,
    Member,
    Point,
    Sheet,
    Standing,
    lie_of_course,
    station_text,
    width_text,
)
from service.report.drawing.labels import LINE, SIZE, width_of
from service.units.folding import folded

Side: TypeAlias = Literal["left", "right", "bottom", "top"]

BETWEEN: Final = 1.6
"""Clear paper between two columns of a rail, mm."""

_LEAST: Final = (140.0, 100.0)
"""What a drawing fills of its page in one way or the other, mm, whatever stands around it."""

_ONE_ROW: Final = 180.0
"""Edges of courses that together are wider than this (mm) get two rows."""

_ENDS_APART: Final = 4
"""A row of more ticks than this is as close as its inner ones may stand."""

STEPS: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
"""Where all numbers find no room, each 2nd, 5th, 10th ... is written."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A text at a point of the sheet (ticks). `count` is what thinning goes by.

    `listed` is what stands beside the drawing where the text finds no room.
    """

    at: Point
    text: str
    count: int
    listed: str = ""


@dataclass(frozen=True, slots=True)
class Rail:
    """One row or column. `thinned` rails keep each Nth tick; others whatever finds room.

    Rails of one `family` are thinned alike; a lower `rank` finds room earlier. `stroke` is the
    weight of the short line drawn at each tick (mm), 0 for none; `led` rails draw a fine line
    from a mark that ends short of the side. Texts of a lengthwise rail that find no room in the
    first of its `rows` go into the next.
    """

    side: Side
    heading: str
    ticks: tuple[Tick, ...]
    thinned: bool
    family: str
    rank: int
    stroke: float = 0.0
    led: bool = False
    rows: int = 1

    @property
    def lengthwise(self) -> bool:
        """Whether ticks are spread along x."""
        return self.side in {"bottom", "top"}

    @property
    def depth(self) -> float:
        """How much paper the rail takes outward, mm."""
        if self.lengthwise:
            return LINE * self.rows
        return self.widest + BETWEEN

    @property
    def widest(self) -> float:
        """Width of its widest text, mm."""
        return max(width_of(text) for text in (self.heading, *(tick.text for tick in self.ticks)))

    @property
    def pitch(self) -> float:
        """From tick to tick at the least, for both to be written, mm.

        Both ends of a row are written before all others, however wide they are.
        """
        if not self.lengthwise:
            return LINE
        inner = self.ticks[1:-1] if len(self.ticks) > _ENDS_APART else self.ticks
        widest = max((width_of(tick.text) for tick in inner), default=0.0)
        return (widest + 0.4 * SIZE) / self.rows


def lie_of(start: Point, end: Point) -> Lie:
    """How a line lies on the sheet; within 1 in 500 of level or upright counts as such."""
    wide, high = abs(end[0] - start[0]), abs(end[1] - start[1])
    if high * 500 <= wide:
        return "level"
    return "upright" if wide * 500 <= high else "oblique"


def _course_rails(courses: list[Course], sheet: Sheet) -> list[Rail]:
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


def _joint_rails(joints: list[Joint], sheet: Sheet) -> list[Rail]:
    """Every joint station once: below the drawing, or at the left where boards stand upright."""
    return _station_rails("joints", joints, sheet, stroke=0.6)


def _standing_rails(marks: list[Standing], sheet: Sheet) -> list[Rail]:
    """How far up or in each nailer, header and block stands, once."""
    return _station_rails("backing", [one for one in marks if one.station_text], sheet, stroke=0.3)


def _centre_rails(marks: list[CentreLine], sheet: Sheet) -> list[Rail]:
    """How far up or in each beam lies, by its centre line, with its number."""
    return _station_rails("beams", marks, sheet, stroke=0.3)


def _station_rails(
    title: str, marks: Sequence[Joint | Standing | CentreLine], sheet: Sheet, *, stroke: float
) -> list[Rail]:
    """Where lines lie, each station once: those that stand below, those that lie at the left."""
    rails = []
    for lie, side in _SIDES:
        chosen = [one for one in marks if lie_of(one.start, one.end) == lie]
        ticks = _once(((mark.start, mark.station_text) for mark in chosen), lie)
        if ticks:
            rows = _rows_for(ticks, sheet) if side == "bottom" else 1
            rails.append(Rail(side, title, ticks, False, "joint", 24, stroke=stroke, rows=rows))
    return rails


def _rows_for(ticks: tuple[Tick, ...], sheet: Sheet) -> int:
    """So many that each station finds room, were the drawing no wider than `_LEAST`; at most 3."""
    corners = [corner for ring in sheet.outline for corner in ring]
    wide, high = (max(c[k] for c in corners) - min(c[k] for c in corners) for k in (0, 1))
    scale = min(_LEAST[0] / wide, _LEAST[1] / high)
    ends: list[float] = []
    for tick in ticks:
        half = (width_of(tick.text) + 0.4 * SIZE) / 2
        middle = tick.at[0] * scale
        row = next((k for k, end in enumerate(ends) if end <= middle - half), len(ends))
        ends[row : row + 1] = [middle + half]
    return min(3, len(ends))


def _member_rails(members: Iterable[Member], support: str) -> list[Rail]:
    rails = []
    for lie, side in _SIDES:
        chosen = [member for member in members if lie_of(member.start, member.end) == lie]
        ticks = _once(((member.start, member.label) for member in chosen), lie)
        if ticks:
            rails.append(Rail(side, f"{support}s", ticks, True, "member", 26, stroke=0.15))
    return rails


_SIDES: Final[tuple[tuple[Lie, Side], ...]] = (("upright", "bottom"), ("level", "left"))


def _once(places: Iterable[tuple[Point, str]], lie: Lie) -> tuple[Tick, ...]:
    """Each text once, in order along the side."""
    first: dict[str, Point] = {}
    axis = 0 if lie == "upright" else 1
    for at, text in sorted(places, key=lambda place: place[0][axis]):
        first.setdefault(text, at)
    return tuple(Tick(at, text, k) for k, (text, at) in enumerate(first.items()))


_READERS: Final[tuple[tuple[type, Callable[[list[Any], Sheet], list[Rail]]], ...]] = (
    (Course, _course_rails),
    (Joint, _joint_rails),
    (Standing, _standing_rails),
    (CentreLine, _centre_rails),
)
"""What is read off which marks, the rail nearest to the drawing first."""


def rails_of(sheet: Sheet, layer: DrawnLayer | None) -> tuple[Rail, ...]:
    """All rails of one page, those of one side from the drawing outward."""
    rails: list[Rail] = []
    marks = layer.marks if layer else ()
    for kind, read in _READERS:
        chosen = [mark for mark in marks if isinstance(mark, kind)]
        rails += read(chosen, sheet)
    return tuple(rails + _member_rails(sheet.members, sheet.support))


def step_for(places: list[float], pitch: float) -> int:
    """The smallest of `STEPS` at which every Nth of evenly spread places is `pitch` apart."""
    if len(places) < 2:
        return 1
    apart = sorted(places)
    usual = (apart[-1] - apart[0]) / (len(apart) - 1)
    return next((step for step in STEPS if step * usual >= pitch), STEPS[-1])


def kept(rail: Rail, step: int) -> tuple[Tick, ...]:
    """The ticks that are written when each `step`th is, with the first and the last always."""
    ends = {tick.count for tick in (rail.ticks[0], rail.ticks[-1])}
    return tuple(tick for tick in rail.ticks if tick.count % step == 0 or tick.count in ends)
