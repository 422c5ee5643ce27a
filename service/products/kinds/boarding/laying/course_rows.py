"""The rows of courses and of the ways of laying them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.layout.ranking import Ranked
from service.layout.runs import Course, Laid
from service.products.goods.board.board import Board
from service.products.kinds.boarding.laying.tapers import Taper
from service.products.kinds.boarding.rulings import Task
from service.products.laid_rows import AlternativeRow, CourseRow
from service.products.rows import RippedEdge

_NOTES = {
    "start": "rip off the groove side",
    "end": "rip off the tongue side",
    "both": "rip both sides",
}
_EXPOSURE = "its width is the exposure"


def course_rows(
    task: Task, board: Board, laid: Laid, tapers: Mapping[int, Taper]
) -> tuple[CourseRow, ...]:
    """Courses as they are answered: edges from the start, rips, tapers, what to do with each."""
    return tuple(
        _course_row(task, board, course, laid, tapers.get(course.number)) for course in laid.courses
    )


def _course_row(
    task: Task, board: Board, course: Course, laid: Laid, taper: Taper | None
) -> CourseRow:
    near, far = course.from_start(course.low, course.high)
    cut = course.rip
    if cut == "none" and taper is not None:
        cut = "start" if taper.at_start else "end"  # whole at one end only
    notes = [_NOTES[cut]] if cut in _NOTES else []
    if not board.has_tongue:
        notes = ["rip one edge"] if cut != "none" else []
    last = course.number == len(laid.courses)
    if board.lapped:
        notes += [_EXPOSURE] if course.number == 1 else []
        notes += ["nail its top edge too"] if last else []
    elif course.number == 1:
        notes.append("face-nail the starting edge")
    elif last:
        notes.append("face-nail")
    return CourseRow(
        surface=task.surface.id,
        layer=task.layer_id,
        course=course.number,
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


def alternatives(
    task: Task, chosen: Ranked, found: list[Ranked], courses: Sequence[Course]
) -> tuple[AlternativeRow, ...]:
    """The chosen way first if it ranks first, the best three in all, the chosen always.

    Its first and last course are as wide as they were laid.
    """
    rows = found[:3]
    if chosen not in rows:
        rows = [*rows[:2], chosen]
    return tuple(
        AlternativeRow(
            surface=task.surface.id,
            layer=task.layer_id,
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
