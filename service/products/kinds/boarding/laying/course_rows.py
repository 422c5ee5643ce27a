"""The rows of courses and of the ways of laying them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from service.layout.runs import Course
from service.products.goods.board.board import Board
from service.products.kinds.boarding.laying.tapers import Taper
from service.products.kinds.boarding.records import Field
from service.products.laid_rows import AlternativeRow, CourseRow
from service.products.rows import RippedEdge

_NOTES = {
    "start": "rip off the groove side",
    "end": "rip off the tongue side",
    "both": "rip both sides",
}
_EXPOSURE = "its width is the exposure"


def course_rows(field: Field, board: Board, tapers: Mapping[int, Taper]) -> Iterator[CourseRow]:
    """Courses as they are answered: edges from the start, rips, tapers, what to do with each."""
    for course in field.laid.courses:
        yield _course_row(field, board, course, tapers.get(course.number))


def _course_row(field: Field, board: Board, course: Course, taper: Taper | None) -> CourseRow:
    task = field.task
    near, far = course.from_start(course.low, course.high)
    cut = course.rip
    if cut == "none" and taper is not None:
        cut = "start" if taper.at_start else "end"  # whole at one end only
    notes = [_NOTES[cut]] if cut in _NOTES else []
    if not board.has_tongue:
        notes = ["rip one edge"] if cut != "none" else []
    if board.lapped:
        notes += [_EXPOSURE] if course.first else []
        notes += ["nail its top edge too"] if course.last else []
    elif course.first:
        notes.append("face-nail the starting edge")
    elif course.last:
        notes.append("face-nail")
    return CourseRow(
        surface=task.surface.id,
        layer=task.layer_id,
        course=course.number,
        bay=field.bay,
        near=near,
        far=far,
        width=course.face,
        end_widths=taper.widths if taper else (),
        from_wall=taper.from_wall if taper else (),
        rip=_rip(board, course),
        tongue="far" if board.has_tongue and course.rip in ("none", "start") else "none",
        note="; ".join(notes),
    )


def _rip(board: Board, course: Course) -> RippedEdge:
    """The edge that is ripped off: by its joint for matched boards, by its side for others."""
    if course.rip in ("none", "both"):
        return course.rip
    if board.has_tongue:
        return "groove" if course.rip == "start" else "tongue"
    return "near" if course.rip == "start" else "far"


def alternatives(field: Field) -> tuple[AlternativeRow, ...]:
    """The chosen way first if it ranks first, the best three in all, the chosen always.

    Its first and last course are as wide as they were laid.
    """
    task, chosen, courses = field.task, field.chosen, field.laid.courses
    rows = list(field.found[:3])
    if chosen not in rows:
        rows = [*rows[:2], chosen]
    return tuple(
        AlternativeRow(
            surface=task.surface.id,
            layer=task.layer_id,
            bay=field.bay,
            rank=rank + 1,
            start=one.scheme.start,
            courses=len(one.scheme.strips),
            first=courses[0].face if one is chosen else one.scheme.first,
            last=courses[-1].face if one is chosen else one.scheme.last,
            chosen=one is chosen,
            why=one.why,
        )
        for rank, one in enumerate(rows)
    )
