"""Rips too small to saw: a covered gap takes them, each wall by itself; no course moves (3.9)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from service.errors import Finding
from service.geometry.edges import Edge, Margins, Side
from service.geometry.ends import NEARLY_ALONG
from service.geometry.frame import Frame
from service.geometry.plane import difference, union
from service.geometry.rings import Line, Polygon, Region, rectangle
from service.layout.runs import NOTHING, SNAPPED, Course
from service.products.goods.board.board import Board
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.walls import Walls
from service.products.remarks import Remarks
from service.units.ticks import INCH, SIXTEENTH
from service.units.writing import both

LEAST_GAP = INCH // 4
"""No covered gap is narrower, whatever it takes (3.9)."""


@dataclass(frozen=True, slots=True)
class Rip:
    """What would be ripped off a course at a wall, in stations.

    `edge` is where the gap ends, on the course's `high` side or its low one; the whole board goes
    on to `line`, at most `by` ticks further.
    """

    course: Course
    edge: Line
    high: bool
    line: int
    by: int

    @property
    def at_end(self) -> bool:
        """Whether it is the edge away from the start, where a tongue is."""
        return self.high == self.course.starts_low


@dataclass(frozen=True, slots=True)
class Unsawn:
    """A rip that is not sawn: `gap` is what it leaves of the gap of the wall along `edge`."""

    rip: Rip
    gap: int
    edge: Edge


def unsawn(
    task: Task, board: Board, walls: Walls, frame: Frame, inset: Region, courses: Sequence[Course]
) -> tuple[Unsawn, ...]:
    """The rips that gaps take, of courses as they are chosen within `inset` (stations)."""
    most = task.rules.unsawn
    rips = [] if board.lapped or not most else list(_rips(inset, courses, board, most))
    if not rips:
        return ()
    room = walls.perimeter(task.surface.parts, frame, whole=True)
    found: list[Unsawn] = []
    numbers: dict[Side, int] = {}
    for rip in rips:
        side, wall = room.beside(rip.edge)
        gap = wall.gap - rip.by
        if wall.gives and gap >= _least(board, rip):
            own = -1 - len(numbers) if side.edge is None else side.edge.number
            number = numbers.setdefault(side, own)
            ends = frame.back(side.start), frame.back(side.end)
            found.append(Unsawn(rip, gap, Edge(number, *ends, None, None, "")))
    return tuple(found)


def narrowed(margins: Margins, found: Sequence[Unsawn]) -> Margins:
    """The gaps with what is taken of them."""
    widest_first = sorted(found, key=lambda one: -one.gap)
    own = {one.edge.number: (one.edge, one.gap) for one in widest_first}
    kept = tuple(one for one in margins.told if one[0].number not in own)
    return Margins(margins.usual, (*kept, *own.values()))


def within_lines(region: Region, found: Sequence[Unsawn]) -> Region:
    """A region in stations up to the lines of whole courses, where a wall slants away from one."""
    beyond = []
    for rip in (one.rip for one in found):
        (au, av), (bu, bv) = rip.edge
        if abs(av - bv) > SNAPPED:
            sides = (rip.line, rip.line + rip.by) if rip.high else (rip.line - rip.by, rip.line)
            beyond.append(Polygon(rectangle(min(au, bu), sides[0], max(au, bu), sides[1])))
    return difference(region, union([(one,) for one in beyond])) if beyond else region


def _least(board: Board, rip: Rip) -> int:
    """The narrowest gap that will do: a last course slides on over the tongue before it (3.11)."""
    slides = board.has_tongue and rip.at_end
    return max(LEAST_GAP, board.lap + SIXTEENTH if slides else 0)


def _rips(inset: Region, courses: Sequence[Course], board: Board, most: int) -> Iterator[Rip]:
    """Every rip along a wall that would take less than `most` at both its ends, and not nothing."""
    for part in inset:
        for ring in part.rings:
            for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
                along, across = b[0] - a[0], abs(b[1] - a[1])
                if across < NEARLY_ALONG * abs(along):
                    yield from _rips_at((a, b), along < 0, courses, board.coverage, most)


def _rips_at(
    edge: Line, high: bool, courses: Sequence[Course], coverage: int, most: int
) -> Iterator[Rip]:
    for course in courses:
        if _is_cut_beyond(course, high):
            continue
        line = course.low + coverage if high else course.high - coverage
        off = [(line - v) if high else (v - line) for _, v in edge]
        if min(off) >= -SNAPPED and NOTHING < max(off) < most:
            yield Rip(course, edge, high, line, max(off))


def _is_cut_beyond(course: Course, high: bool) -> bool:
    """Whether the edge of a course on the other side is cut too, so that none is a board's own."""
    other = "start" if high == course.starts_low else "end"
    return course.rip in (other, "both")


def with_whole(courses: Sequence[Course], found: Sequence[Unsawn]) -> tuple[Course, ...]:
    """The courses, those at the sides of the room whole where their rips are not sawn."""
    made = list(courses)
    for one in found:
        number, line = one.rip.course.number - 1, one.rip.line
        course = made[number]
        if one.rip.high and line > course.high:
            made[number] = replace(course, high=line, rip=_unripped(course, one.rip))
        elif not one.rip.high and line < course.low:
            made[number] = replace(course, low=line, rip=_unripped(course, one.rip))
    return tuple(made)


def _unripped(course: Course, rip: Rip) -> Literal["none", "start", "end", "both"]:
    return "none" if course.rip == ("end" if rip.at_end else "start") else course.rip


def say_unsawn(
    task: Task, said: Remarks, found: Sequence[Unsawn], courses: Sequence[Course]
) -> None:
    """One word for all rips of a layer that are not sawn, with the narrowest gap."""
    if not found:
        return
    least = min(found, key=lambda one: one.gap)
    numbers = sorted({one.rip.course.number for one in found})
    last = len(courses) if courses[-1].rip == "end" else 0
    tongue = "; its tongue is cut off" if last in numbers and len(numbers) == 1 else ""
    tongue = tongue or (f"; the tongue of {last} is cut off" if last in numbers else "")
    said.find(
        Finding(
            "gap-takes-rip",
            f"{task.at}.{least.rip.course.number}",
            f"{_named(numbers)} whole: the covered gap at the wall takes the "
            f"{both(max(one.rip.by for one in found))} that would be ripped off, and keeps "
            f"{both(least.gap)}{tongue}",
            rule="3.9",
            measure=least.gap,
            limit=LEAST_GAP,
        )
    )


def _named(numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"course {numbers[0]} stays"
    return f"courses {', '.join(map(str, numbers[:-1]))} and {numbers[-1]} stay"
