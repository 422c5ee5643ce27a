"""Rows of a surface and of what is laid on it before stock is chosen; lengths in ticks.

`service.schemas.answer` publishes them.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.geometry.rings import Point, Ring


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberRow:
    """One member behind a surface, by its centre line as far as it lies behind the outline.

    `member` is its number, from 1 on, from the left or from below.
    """

    surface: str
    member: int
    start: Point
    end: Point
    thickness: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningRow:
    """One opening of a surface, and what is cut for it in one layer, in (x, y).

    `drawn` are its rings as drawn, `cut` as cut, in each case within the outline. `merged_with`
    are the other openings of the same cut, `courses` the numbers of those that it cuts.
    """

    surface: str
    layer: str
    opening: str
    drawn: tuple[Ring, ...]
    cut: tuple[Ring, ...]
    merged_with: tuple[str, ...]
    courses: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseRow:
    """One course, or row of sheets, or width of a roll that laps the one before by `lap`."""

    surface: str
    layer: str
    course: int
    near: int
    far: int
    width: int
    rip: str
    tongue: str
    note: str
    lap: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class AlternativeRow:
    """One way of laying the courses."""

    surface: str
    layer: str
    rank: int
    start: str
    courses: int
    first: int
    last: int
    chosen: bool
    why: str
