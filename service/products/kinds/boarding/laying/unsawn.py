"""Rips too small to saw, and strips too narrow to lay: a covered gap takes them (3.9).

Each wall by itself; no course moves for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from service.errors import Finding
from service.geometry.edges import Edge, Margins, Side
from service.geometry.ends import NEARLY_ALONG
from service.geometry.frame import Frame
from service.geometry.plane import difference, union
from service.geometry.rings import Line, Polygon, Region, bounds, rectangle
from service.layout.runs import NOTHING, SNAPPED, Course
from service.products.goods.board.board import Board
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.walls import Perimeter, Wall
from service.products.kinds.boarding.ways import Ways
from service.products.remarks import Remarks
from service.units.ticks import INCH, SIXTEENTH
from service.units.writing import both

LEAST_GAP = INCH // 4
"""No covered gap is narrower, whatever it takes (3.9)."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """How a course meets a wall, in stations: a whole board would end at `line`.

    `edge` is where the gap ends, on the course's `high` side or its low one; `lack` is what the
    board would be ripped by, at the end of the wall where that is most, and `rest` what would be
    left of the next course beyond it, where that is widest. Either is negative where the wall lies
    on the other side of the line.
    """

    course: Course
    edge: Line
    high: bool
    line: int
    lack: int
    rest: int

    @property
    def at_end(self) -> bool:
        """Whether it is the edge away from the start, where a tongue is."""
        return self.high == self.course.starts_low


@dataclass(frozen=True, slots=True)
class Unsawn:
    """What is not sawn where a course meets a wall, along `edge`.

    Its gap gives `by` to the board that stays whole, or takes a `strip` that is not laid; 0 for
    neither. `gap` is what it then is, where it is narrowest.
    """

    met: Meeting
    by: int
    strip: int
    gap: int
    edge: Edge


@dataclass(frozen=True, slots=True)
class Limits:
    """What is not sawn: a rip of less than `rip`, and what is left over up to `strip`."""

    rip: int
    strip: int
    spacer: int


def unsawn(
    task: Task,
    board: Board,
    ways: Ways,
    room: Perimeter,
    frame: Frame,
    courses: Sequence[Course],
    spacer: int,
) -> tuple[Unsawn, ...]:
    """What the gaps of a `room`, whole, take of courses as they are chosen among `ways`."""
    limits = Limits(task.rules.unsawn, ways.edges.gives, spacer)
    if board.lapped or not limits.rip:
        return ()
    found: list[Unsawn] = []
    numbers: dict[Side, int] = {}
    for met in _meetings(ways.inset, courses, board, limits):
        side, wall = room.beside(met.edge)
        by, strip = _by(board, met, wall, limits), met.rest if met.rest > NOTHING else 0
        if wall.gives and (by or strip):
            own = -1 - len(numbers) if side.edge is None else side.edge.number
            number = numbers.setdefault(side, own)
            ends = frame.back(side.start), frame.back(side.end)
            gap = wall.gap - (by or min(0, met.lack))
            found.append(Unsawn(met, by, strip, gap, Edge(number, *ends, None, None, "")))
    return tuple(found)


def _by(board: Board, met: Meeting, wall: Wall, limits: Limits) -> int:
    """What a gap gives for a board to stay whole; 0 where it cannot, or need not.

    A last course slides on over the tongue before it (3.11).
    """
    slides = board.has_tongue and met.at_end
    least = max(LEAST_GAP, board.lap + SIXTEENTH if slides else 0)
    if _is_cut_beyond(met.course, met.high) or wall.gap - met.lack < least:
        return 0
    return met.lack if NOTHING < met.lack < limits.rip else 0


def narrowed(margins: Margins, found: Sequence[Unsawn]) -> Margins:
    """The gaps with what is taken of them."""
    widest_first = sorted((one for one in found if one.by), key=lambda one: -one.gap)
    own = {one.edge.number: (one.edge, one.gap) for one in widest_first}
    kept = tuple(one for one in margins.told if one[0].number not in own)
    return Margins(margins.usual, (*kept, *own.values()))


def within_lines(region: Region, found: Sequence[Unsawn]) -> Region:
    """A region in stations up to the lines of whole courses: without strips, and slanting rests."""
    beyond = []
    for one in found:
        (au, av), (bu, bv) = one.met.edge
        line, deep = one.met.line, one.by + abs(av - bv) + max(0, one.met.rest) + SNAPPED
        if one.strip or abs(av - bv) > SNAPPED:
            sides = (line, line + deep) if one.met.high else (line - deep, line)
            beyond.append(Polygon(rectangle(min(au, bu), sides[0], max(au, bu), sides[1])))
    return difference(region, union([(one,) for one in beyond])) if beyond else region


def _meetings(
    inset: Region, courses: Sequence[Course], board: Board, limits: Limits
) -> Iterator[Meeting]:
    """Where courses meet walls along them, and little would be ripped off, or left over."""
    for part in inset:
        for ring in part.rings:
            for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
                along, across = b[0] - a[0], abs(b[1] - a[1])
                if across < NEARLY_ALONG * abs(along):
                    yield from _met_by(courses, (a, b), along < 0, board.coverage, limits)


def _met_by(
    courses: Sequence[Course], edge: Line, high: bool, coverage: int, limits: Limits
) -> Iterator[Meeting]:
    """Where courses meet a wall; none does whose edge, as of a whole board, lies far before it."""
    reach = coverage + max(limits.strip, SNAPPED) + limits.spacer
    wall = min(edge[0][1], edge[1][1]) - reach if high else max(edge[0][1], edge[1][1]) + reach
    for course in courses:
        if course.high >= wall if high else course.low <= wall:
            met = _meeting(edge, high, course, coverage, limits)
            if met is not None:
                yield met


def _meeting(
    edge: Line, high: bool, course: Course, coverage: int, limits: Limits
) -> Meeting | None:
    """How a course meets a wall; None where the edge of no whole board does, or it lies far off."""
    if course.rip == "both":
        return None
    if _is_cut_beyond(course, high):
        line = course.high if high else course.low
    else:
        line = course.low + coverage if high else course.high - coverage
    off = [(line - v) if high else (v - line) for _, v in edge]
    rest = -min(off) - limits.spacer
    if rest > max(limits.strip, SNAPPED):
        return None
    return Meeting(course, edge, high, line, max(off), rest)


def _is_cut_beyond(course: Course, high: bool) -> bool:
    """Whether the edge of a course on the other side is cut too, so that none is a board's own."""
    other = "start" if high == course.starts_low else "end"
    return course.rip in (other, "both")


def with_whole(courses: Sequence[Course], found: Sequence[Unsawn]) -> tuple[Course, ...]:
    """The courses, those at the sides of the room whole where their rips are not sawn."""
    made = list(courses)
    for one in found:
        number, line = one.met.course.number - courses[0].number, one.met.line
        course = made[number]
        if one.by and one.met.high and line > course.high:
            made[number] = replace(course, high=line, rip=_unripped(course, one.met))
        elif one.by and not one.met.high and line < course.low:
            made[number] = replace(course, low=line, rip=_unripped(course, one.met))
    return tuple(made)


def _unripped(course: Course, met: Meeting) -> Literal["none", "start", "end", "both"]:
    return "none" if course.rip == ("end" if met.at_end else "start") else course.rip


def narrowest_last(
    found: Sequence[Unsawn], walls: Sequence[Wall], inset: Region, courses: Sequence[Course]
) -> int:
    """The narrowest gap beyond the last course; `walls` are those at the end of the inset."""
    last = courses[-1]
    ends = [one for one in found if one.met.at_end and one.met.course.number == last.number]
    _, _, low, high = bounds(inset)
    beyond = high - last.high if last.starts_low else last.low - low
    kept = [] if beyond > NOTHING and any(one.strip for one in ends) else walls
    return min([one.gap for one in ends] + [wall.gap for wall in kept])


def say_unsawn(
    task: Task, said: Remarks, found: Sequence[Unsawn], courses: Sequence[Course]
) -> None:
    """One word for all rips of a layer that are not sawn, and one for the strips."""
    whole, strips = [one for one in found if one.by], [one for one in found if one.strip]
    if whole:
        _say_whole(task, said, whole, courses)
    if strips:
        _say_strips(task, said, strips)


def _say_whole(
    task: Task, said: Remarks, found: Sequence[Unsawn], courses: Sequence[Course]
) -> None:
    """Courses that stay whole, with the narrowest gap."""
    least = min(found, key=lambda one: one.gap)
    numbers = sorted({one.met.course.number for one in found})
    last = courses[-1].number if courses[-1].rip == "end" else 0
    tongue = "; its tongue is cut off" if last in numbers and len(numbers) == 1 else ""
    tongue = tongue or (f"; the tongue of {last} is cut off" if last in numbers else "")
    stay = "stays" if len(numbers) == 1 else "stay"
    said.find(
        Finding(
            "gap-takes-rip",
            f"{task.at}.{least.met.course.number}",
            f"{_named(numbers)} {stay} whole: the covered gap at the wall takes the "
            f"{both(max(one.by for one in found))} that would be ripped off, and keeps "
            f"{both(least.gap)}{tongue}",
            rule="3.9",
            measure=least.gap,
            limit=LEAST_GAP,
        )
    )


def _say_strips(task: Task, said: Remarks, found: Sequence[Unsawn]) -> None:
    """Strips that are not laid, with the widest gap that becomes of it."""
    widest = max(found, key=lambda one: (one.strip, -one.met.course.number))
    numbers = sorted({one.met.course.number for one in found})
    said.find(
        Finding(
            "gap-takes-strip",
            f"{task.at}.{widest.met.course.number}",
            f"no strip of {both(widest.strip)} is laid beside {_named(numbers)}: the covered gap "
            f"at the wall takes it, and is {both(widest.gap)}",
            rule="3.9",
            measure=widest.strip,
        )
    )


def _named(numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"course {numbers[0]}"
    return f"courses {', '.join(map(str, numbers[:-1]))} and {numbers[-1]}"
