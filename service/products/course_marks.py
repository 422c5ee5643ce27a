"""Courses, rows and widths as a drawing has them: measured where one stands to mark them.

Beside walls out of parallel an edge lies at other distances at either end, and a course that lies
oblique to the walls has none that a tape could be held to: it is marked along the walls (3.8).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import hypot

from service.geometry.frame import Frame
from service.geometry.rings import Ring
from service.geometry.surface import Surface
from service.products.drawing import (
    Course,
    Point,
    Tapered,
    WallMark,
    lie_of_course,
    mark_text,
    station_text,
    width_text,
)
from service.products.laid_rows import CourseRow
from service.products.nouns import past_of
from service.units.ticks import INCH, whole

_WALL, _STEEPEST = 2 * INCH, 5
"""How far from the end of a course its wall is looked for: this, and so many of its own widths.

At an oblique wall one edge ends that far before the other.
"""

_SAME = INCH // 64
"""Measures that differ by no more are of the same wall."""

Reaches = Mapping[int, tuple[int, int]]
"""The low and the high station of all that lies in a course, by its number, ticks."""


@dataclass(frozen=True, slots=True)
class Walls:
    """The outline that courses lie in: its corners, and the same in stations of the layer."""

    ring: Ring
    stations: Ring
    frame: Frame

    @property
    def across(self) -> tuple[int, int]:
        """The lowest and the highest station across."""
        stations = [v for _, v in self.stations]
        return min(stations), max(stations)

    def meeting(self, v: int, u: int, slack: int) -> tuple[int, int] | None:
        """Where a line at station `v` meets the wall nearest to `u`, and the number of that wall.

        None where it meets none within `slack`.
        """
        found = [(abs(at - u), at, k) for at, k in self._meetings(v)]
        if not found or min(found)[0] > slack:
            return None
        return min(found)[1:]

    def beside(self, v: int, reach: tuple[int, int]) -> tuple[Point, Point]:
        """The wall along the courses that lies nearest to an edge of one, in stations."""
        u = (reach[0] + reach[1]) // 2
        along = [
            (a, b)
            for a, b in pairwise([*self.stations, self.stations[0]])
            if lie_of_course(a, b) == "level" and a[0] != b[0]
        ]
        there = [(a, b) for a, b in along if min(a[0], b[0]) <= u <= max(a[0], b[0])] or along
        return min(there, key=lambda edge: abs(_at(edge, u) - v))

    def _meetings(self, v: int) -> Iterator[tuple[int, int]]:
        for k, (a, b) in enumerate(pairwise([*self.stations, self.stations[0]])):
            if min(a[1], b[1]) <= v <= max(a[1], b[1]) and a[1] != b[1]:
                yield whole(a[0] + Fraction((b[0] - a[0]) * (v - a[1]), b[1] - a[1])), k


@dataclass(frozen=True, slots=True)
class Words:
    """How marks are written: the unit of the job, and where lies what is `past` an edge."""

    unit: str
    past: str


def course_marks(
    rows: Iterable[CourseRow],
    reaches: Iterable[tuple[int, int, int]],
    frame: Frame,
    unit: str,
    surface: Surface,
) -> list[Course]:
    """A mark for each course that has anything: its centre line, its edges and its width.

    `reaches` are course number, low and high station of all that lies in it, in ticks. What a
    course laps of the one before, and what of it reaches beyond the surface, is left out of its
    middle.
    """
    reached = _reached(reaches)
    outline = surface.outline
    walls = Walls(outline, tuple(frame.to(point) for point in outline), frame)
    words = Words(unit, past_of(surface.type))
    shown = [row for row in rows if row.course in reached]
    tapered = _tapered(shown, reached, walls)
    return [_mark(row, reached[row.course], walls, words, tapered.get(row.course)) for row in shown]


def _reached(reaches: Iterable[tuple[int, int, int]]) -> dict[int, tuple[int, int]]:
    found: dict[int, tuple[int, int]] = {}
    for number, low, high in reaches:
        lowest, highest = found.get(number, (low, high))
        found[number] = min(low, lowest), max(high, highest)
    return found


def _mark(
    row: CourseRow, reach: tuple[int, int], walls: Walls, words: Words, tapered: Tapered | None
) -> Course:
    least, most = walls.across
    own = row.near + (row.lap if row.far > row.near else -row.lap)
    middle = (max(least, min(own, most)) + max(least, min(row.far, most))) // 2
    slack = _STEEPEST * abs(row.far - row.near) + _WALL
    ends = []
    for u in reach:
        met = walls.meeting(middle, u, slack)
        ends.append(walls.frame.back((met[0] if met else u, middle)))
    return Course(
        number=row.course,
        at=ends[0],
        end=ends[1],
        near_text=mark_text(row.near, words.unit, words.past),
        far_text=mark_text(row.far, words.unit, words.past),
        width_text=course_width(row, words.unit),
        tapered=tapered,
        marks=tuple(dict.fromkeys(_wall_marks(row.far, reach, walls, slack, words.unit))),
    )


def _wall_marks(
    v: int, reach: tuple[int, int], walls: Walls, slack: int, unit: str
) -> Iterator[WallMark]:
    """Where an edge that lies oblique to the drawing meets the walls at its two ends."""
    low, high = walls.frame.back((reach[0], v)), walls.frame.back((reach[1], v))
    if lie_of_course(low, high) != "oblique":
        return
    for u in reach:
        met = walls.meeting(v, u, slack)
        if met is not None:
            at = walls.frame.back((met[0], v))
            yield WallMark(at, station_text(_from_corner(walls.ring, met[1], at), unit))


def _from_corner(ring: Ring, wall: int, at: Point) -> int:
    """Along a wall, from its left corner, or the lower one of a wall that stands upright."""
    a, b = ring[wall], ring[(wall + 1) % len(ring)]
    level = abs(b[0] - a[0]) > abs(b[1] - a[1])
    x, y = min((a, b), key=lambda corner: corner[0 if level else 1])
    return whole(hypot(at[0] - x, at[1] - y))


def _tapered(rows: Sequence[CourseRow], reached: Reaches, walls: Walls) -> dict[int, Tapered]:
    """Courses of a field that a wall out of parallel tapers; none where all walls are parallel."""
    if not any(row.end_widths for row in rows):
        return {}
    start = walls.beside(rows[0].near, reached[rows[0].course])
    way = 1 if rows[0].far > rows[0].near else -1
    found = {}
    for row in rows:
        low, high = (
            _line(row, k, way * (row.far - _at(start, u)))
            for k, u in enumerate(reached[row.course])
        )
        widths = row.end_widths or (row.width, row.width)
        found[row.course] = Tapered((low, high), (widths[0], widths[1]))
    return found


def _line(row: CourseRow, end: int, far: int) -> int:
    """From the starting wall to the far edge at one end; untapered it would lie at `far`.

    The far edge of a course that the other wall tapers is that wall's.
    """
    if row.end_widths and abs(far - row.from_wall[end]) > _SAME:
        return far - row.width + row.end_widths[end]
    return far


def _at(edge: tuple[Point, Point], u: int) -> int:
    """The station across at which the line of an edge passes a station along."""
    (au, av), (bu, bv) = edge
    return whole(av + Fraction((bv - av) * (u - au), bu - au))


def course_width(row: CourseRow, unit: str) -> str:
    """The width of a course, or the widths at both ends of one that tapers, the low end first."""
    return " to ".join(width_text(width, unit) for width in row.end_widths or (row.width,))
