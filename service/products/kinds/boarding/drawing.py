"""The marks of a boarded layer on its surface's sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, Literal

from service.geometry.frame import Frame
from service.products.course_marks import course_marks, course_width
from service.products.drawing import (
    DrawnLayer,
    DrawnPiece,
    Joint,
    Mark,
    Slice,
    station_text,
)
from service.products.kinds.boarding.records import Boards, LaidBoards, Pieces, PlacedBoards

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
    marks += _joints(placed, boards.frame, unit)
    reaches = ((piece.run.course, piece.cut.low, piece.cut.high) for piece in pieces.all)
    marks += course_marks(layer.courses, reaches, boards.frame, unit)
    board = boards.board
    product = layer.task.product
    cut = Slice(_EDGES[product.profile], board.thickness, product.id, board.lap)
    return DrawnLayer(layer.task.layer_id, "boarding", tuple(marks), _notes(layer, unit), cut)


def _joints(placed: PlacedBoards, frame: Frame, unit: str) -> Iterator[Mark]:
    rows = {row.course: row for row in placed.laid.courses}
    for joint in placed.joints:
        course = rows[joint.course]
        start, end = (joint.at, course.near), (joint.at, course.far)
        yield Joint(frame.back(start), frame.back(end), station_text(joint.at, unit))


def _notes(layer: LaidBoards, unit: str) -> tuple[str, ...]:
    courses = layer.courses
    return (
        f"Courses of {layer.task.product.id}: {len(courses)}; first "
        f"{course_width(courses[0], unit)}, last {course_width(courses[-1], unit)}",
        "Stations run from one origin: lowest corner of the outline, facing the finished side",
    )
