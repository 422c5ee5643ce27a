"""Bevels of boards that end along a corner of walls: of a long edge, or of an end (3.16)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.products.goods.board.board import Board
from service.products.kinds.boarding.records import BoardPiece, Boards
from service.products.saw_rows import SawRow, WorkedEdge, bevelled_ends


@dataclass(frozen=True, slots=True)
class Bevels:
    """Degrees off square, long point at the face, 0 where it is square.

    `edges` are those of the near and the far edge, `ends` those of the left and the right end.
    """

    edges: tuple[float, float]
    ends: tuple[float, float]


def bevels_of(boards: Boards, piece: BoardPiece) -> Bevels | None:
    """The bevels of a piece: of what lies along a corner; None where there is no such corner."""
    if not any(wall.bevel for _, wall in boards.perimeter.sides):
        return None
    course, run, walls = boards.course(piece.run), piece.run, boards.perimeter
    left, right, low, high = piece.shape[0].box
    first, last = (course.first, course.last)[:: 1 if course.starts_low else -1]
    edges = (
        walls.bevel_along(((left, low), (right, low))) if first else 0.0,
        walls.bevel_along(((left, high), (right, high))) if last else 0.0,
    )
    ends = (
        walls.bevel_along(((left, low), (left, high))) if piece.cut.low == run.low else 0.0,
        walls.bevel_along(((right, low), (right, high))) if piece.cut.high == run.high else 0.0,
    )
    return Bevels(
        edges if course.starts_low else edges[::-1],
        ends if boards.low_is_left(run) else ends[::-1],
    )


def bevelled(
    rows: Sequence[SawRow], bevels: Bevels, length: int, face: int, board: Board
) -> tuple[SawRow, ...]:
    """What is done to a piece, its bevels with it: of an edge with the rip, of an end by itself."""
    found = list(rows)
    names: tuple[WorkedEdge, WorkedEdge] = (
        ("groove", "tongue") if board.has_tongue else ("near", "far")
    )
    for edge, angle in zip(names, bevels.edges, strict=True):
        if angle:
            found = _with_edge(found, edge, angle, length, face)
    return (*found, *bevelled_ends(bevels.ends, board.thickness))


def _with_edge(
    rows: Sequence[SawRow], edge: WorkedEdge, angle: float, length: int, face: int
) -> list[SawRow]:
    """The rip of an edge with its bevel; a whole board is ripped for that alone."""
    if any(row.do == "rip" and row.edge == edge for row in rows):
        return [
            replace(row, angle=angle) if row.do == "rip" and row.edge == edge else row
            for row in rows
        ]
    both = [row for row in rows if row.do == "rip" and row.edge == "both"]
    widths = both[0].widths if both else (face, face)
    own = SawRow(do="rip", edge=edge, from_left=0, length=length, widths=widths, angle=angle)
    return [*both, own, *(row for row in rows if row not in both)]
