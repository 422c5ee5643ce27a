"""The marks of a boarded layer on its surface's sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Final, Literal

from service.geometry.frame import Frame
from service.geometry.rings import Region
from service.products.course_marks import course_marks, course_width
from service.products.cut_across import Slice
from service.products.drawing import (
    Course,
    DrawnLayer,
    DrawnPiece,
    Joint,
    Lap,
    Mark,
    lie_of_course,
    station_text,
)
from service.products.kinds.boarding.cut_sizes import callouts
from service.products.kinds.boarding.records import Boards, LaidBoards, Pieces, PlacedBoards
from service.products.kinds.boarding.starter import starter_of
from service.units.ticks import INCH

_EDGES: Final[Mapping[str, Literal["tongue", "half", "over", "butt"]]] = {
    "tongue_and_groove": "tongue",
    "shiplap": "half",
    "lapped": "over",
    "square_edge": "butt",
}
"""How the edges of two boards meet, by profile."""


def draw(placed: PlacedBoards, unit: str) -> DrawnLayer:
    """Pieces, joints and courses of one layer, in the surface's own frame."""
    layer = placed.laid
    pieces: Pieces = placed.detail
    boards: Boards = layer.detail
    marks: list[Mark] = []
    for piece, row in zip(pieces.all, pieces.rows, strict=True):
        for polygon in piece.shape:
            rings = tuple(boards.frame.ring_back(ring) for ring in polygon.rings)
            label = row.id.split(".", 2)[2]
            marks.append(DrawnPiece(rings, label, row.rip != "none"))
    marks += callouts(placed, unit)
    marks += _starter(placed)
    reaches = ((piece.run.course, piece.cut.low, piece.cut.high) for piece in pieces.all)
    courses = course_marks(layer.courses, reaches, boards.frame, unit, layer.task.surface)
    marks += courses
    marks += _joints(placed, {one.number: one for one in courses}, unit)
    board = boards.board
    product = layer.task.product
    cut = Slice(_EDGES[product.profile], board.thickness, product.id, board.lap)
    return DrawnLayer(layer.task.layer_id, "boarding", tuple(marks), _notes(layer, unit), cut)


def _starter(placed: PlacedBoards) -> Iterator[Mark]:
    """The starter strip by its centre line, behind the first course."""
    starter, back = starter_of(placed.laid), placed.laid.frame.back
    for one in () if starter is None else starter.laths:
        low, high = one.line.ends
        yield Lap(back(low), back(high), "starter strip", "starter strip")


def _joints(placed: PlacedBoards, marks: Mapping[int, Course], unit: str) -> Iterator[Mark]:
    """Each joint as far as its two pieces meet there: a notch may take a part of it."""
    frame = placed.laid.frame
    shapes = {piece.id: piece.shape for piece in placed.detail.all}
    rows = {row.course: row for row in placed.laid.courses}
    for joint in placed.joints:
        course = rows[joint.course]
        ends = [
            _side(shapes.get(name, ()), joint.at, (course.near, course.far))
            for name in joint.between
        ]
        near, far = max(low for low, _ in ends), min(high for _, high in ends)
        start, end = frame.back((joint.at, near)), frame.back((joint.at, far))
        yield Joint(start, end, station_text(_station(joint.at, marks[joint.course], frame), unit))


def _station(at: int, course: Course, frame: Frame) -> int:
    """Where a joint is marked: from the one origin, or where boards lie aslant from a wall.

    There it is from the wall at the low end of its course, along its middle: no tape finds where
    the stations of slanting boards begin.
    """
    if 0 in frame.along:
        return at
    return at - frame.to(course.at)[0]


def _side(shape: Region, at: int, course: tuple[int, int]) -> tuple[int, int]:
    """From where to where across a piece ends at a station; its course, where it ends nowhere."""
    found = [
        v
        for polygon in shape
        for a, b in pairwise([*polygon.outer, polygon.outer[0]])
        if a[0] == b[0] == at
        for v in (a[1], b[1])
    ]
    low, high = sorted(course)
    return (min(found), max(found)) if found else (low, high)


def _measured(layer: LaidBoards) -> str:
    """Whence the marks beside the drawing run."""
    low, high = layer.frame.back((0, 0)), layer.frame.back((INCH, 0))
    if lie_of_course(low, high) == "oblique":
        return (
            "Marks on the walls: far edges, along each wall from its left or lower corner; "
            "at joints: from the lower end of the course"
        )
    if any(row.end_widths for row in layer.courses):
        return (
            "Far edges at each end: from the wall where work starts, square to the boards; other "
            "marks from the left and from the bottom"
        )
    return "All marks from the left end and from the bottom, facing the finished side"


def _notes(layer: LaidBoards, unit: str) -> tuple[str, ...]:
    courses = layer.courses
    return (
        f"Courses of {layer.task.product.id}: {len(courses)}; first "
        f"{course_width(courses[0], unit)}, last {course_width(courses[-1], unit)}",
        _measured(layer),
    )
