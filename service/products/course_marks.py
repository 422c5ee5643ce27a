"""Courses, rows and widths as a drawing has them."""

from __future__ import annotations

from collections.abc import Iterable

from service.geometry.frame import Frame
from service.products.drawing import Course, station_text, width_text
from service.products.laid_rows import CourseRow


def course_marks(
    rows: Iterable[CourseRow],
    reaches: Iterable[tuple[int, int, int]],
    frame: Frame,
    unit: str,
) -> list[Course]:
    """A mark for each course that has anything: its centre line, its stations and its width.

    `reaches` are course number, low and high station of all that lies in it, in ticks. What a
    course laps of the one before is left out of its middle.
    """
    lows: dict[int, int] = {}
    highs: dict[int, int] = {}
    for number, low, high in reaches:
        lows[number] = min(low, lows.get(number, low))
        highs[number] = max(high, highs.get(number, high))
    return [_mark(row, lows[row.course], highs[row.course], frame, unit) for row in rows
            if row.course in lows]  # fmt: skip


def _mark(row: CourseRow, low: int, high: int, frame: Frame, unit: str) -> Course:
    own = row.near + (row.lap if row.far > row.near else -row.lap)
    middle = (own + row.far) // 2
    return Course(
        row.course,
        frame.back((low, middle)),
        frame.back((high, middle)),
        station_text(row.near, unit),
        station_text(row.far, unit),
        course_width(row, unit),
    )


def course_width(row: CourseRow, unit: str) -> str:
    """The width of a course, or the widths at both ends of one that tapers, the low end first."""
    return " to ".join(width_text(width, unit) for width in row.end_widths or (row.width,))
