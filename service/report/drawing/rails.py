"""Rails: rows and columns of numbers beside a drawing, read off marks and members.

A rail stands on one side of the drawing and writes each of its ticks at the height (or length)
where the mark lies: course numbers and edge stations, joint stations, member stations.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final, Literal, TypeAlias

from service.products.drawing import Course, DrawnLayer, Joint, Member, Point, Sheet
from service.report.drawing.labels import LINE, SIZE, width_of
from service.units.folding import folded

Side: TypeAlias = Literal["left", "right", "bottom", "top"]
Lie: TypeAlias = Literal["level", "upright", "oblique"]

BETWEEN: Final = 1.6
"""Clear paper between two columns of a rail, mm."""

_ONE_ROW: Final = 90.0
"""Joint stations that together are wider than this (mm) get two rows."""

STEPS: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
"""Where all numbers find no room, each 2nd, 5th, 10th ... is written."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A text at a point of the sheet (ticks). `count` is what thinning goes by."""

    at: Point
    text: str
    count: int


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
        """From tick to tick at the least, for both to be written, mm."""
        if not self.lengthwise:
            return LINE
        return max((width_of(tick.text) for tick in self.ticks), default=0.0) + 0.4 * SIZE


def lie_of(start: Point, end: Point) -> Lie:
    """How a line lies on the sheet; within 1 in 500 of level or upright counts as such."""
    wide, high = abs(end[0] - start[0]), abs(end[1] - start[1])
    if high * 500 <= wide:
        return "level"
    return "upright" if wide * 500 <= high else "oblique"


def _course_rails(courses: list[Course]) -> list[Rail]:
    """Number and near edge at the low end, far edge and widths at the high end."""
    rails = []
    for lie, low, high in _ENDS:
        chosen = [course for course in courses if lie_of(course.at, course.end) == lie]
        if chosen:
            rails += [
                _course_rail(low, "no.", _ticks(chosen, lambda c: str(c.number)), led=True),
                _course_rail(low, "near edge", _ticks(chosen, lambda c: c.near_text)),
                _course_rail(
                    high, "far edge", _ticks(chosen, lambda c: c.far_text, True), led=True
                ),
                Rail(high, "width", _changes(chosen), False, "width", 22),
            ]
    return rails


def _course_rail(side: Side, heading: str, ticks: tuple[Tick, ...], led: bool = False) -> Rail:
    return Rail(side, heading, ticks, True, "course", 20, led=led)


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


def _changes(courses: list[Course]) -> tuple[Tick, ...]:
    """One width for each row of courses that are alike, at the middle one."""
    alike = [list(row) for _, row in groupby(courses, key=lambda course: course.width_text)]
    middles = [row[len(row) // 2] for row in alike]
    return tuple(Tick(course.end, course.width_text, course.number) for course in middles)


def _joint_rails(joints: list[Joint]) -> list[Rail]:
    """Every joint station once: below the drawing, or at the left where boards stand upright."""
    rails = []
    for lie, side in _SIDES:
        chosen = [joint for joint in joints if lie_of(joint.start, joint.end) == lie]
        ticks = _once(((joint.start, joint.station_text) for joint in chosen), lie)
        if ticks:
            crowded = folded(width_of(tick.text) for tick in ticks) > _ONE_ROW
            rows = 2 if crowded and side == "bottom" else 1
            rails.append(Rail(side, "joints", ticks, False, "joint", 24, stroke=0.6, rows=rows))
    return rails


def _member_rails(members: Iterable[Member]) -> list[Rail]:
    rails = []
    for lie, side in _SIDES:
        chosen = [member for member in members if lie_of(member.start, member.end) == lie]
        ticks = _once(((member.start, member.label) for member in chosen), lie)
        if ticks:
            rails.append(Rail(side, "members", ticks, True, "member", 26, stroke=0.15))
    return rails


_SIDES: Final[tuple[tuple[Lie, Side], ...]] = (("upright", "bottom"), ("level", "left"))


def _once(places: Iterable[tuple[Point, str]], lie: Lie) -> tuple[Tick, ...]:
    """Each text once, in order along the side."""
    first: dict[str, Point] = {}
    axis = 0 if lie == "upright" else 1
    for at, text in sorted(places, key=lambda place: place[0][axis]):
        first.setdefault(text, at)
    return tuple(Tick(at, text, k) for k, (text, at) in enumerate(first.items()))


_READERS: Final[tuple[tuple[type, Callable[[list[Any]], list[Rail]]], ...]] = (
    (Course, _course_rails),
    (Joint, _joint_rails),
)
"""What is read off which marks, the rail nearest to the drawing first."""


def rails_of(sheet: Sheet, layer: DrawnLayer | None) -> tuple[Rail, ...]:
    """All rails of one page, those of one side from the drawing outward."""
    rails: list[Rail] = []
    marks = layer.marks if layer else ()
    for kind, read in _READERS:
        chosen = [mark for mark in marks if isinstance(mark, kind)]
        rails += read(chosen)
    return tuple(rails + _member_rails(sheet.members))


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
