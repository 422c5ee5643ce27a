"""Bevels of sheets that show, along corners of walls: of a long edge, or of an end (3.16)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.geometry.rings import bounds
from service.geometry.wall_corners import BevelledCorner, bevel_at
from service.layout.runs import Course
from service.products.kinds.sheathing.records import SheetPiece
from service.products.saw_rows import SawRow, WorkedEdge, bevelled_ends


def bevels_of(
    piece: SheetPiece,
    row: Course,
    corners: Sequence[BevelledCorner],
    thickness: int,
    *,
    left_handed: bool,
) -> tuple[SawRow, ...]:
    """What is bevelled of a piece, long point at the face: edges with the rip, then ends.

    Of a `left_handed` frame its low end is at the right where its far edge is away.
    """
    if not corners:
        return ()
    low, high, below, above = bounds(piece.sawn)
    edges = tuple(bevel_at(((low, v), (high, v)), corners) for v in (below, above))
    ends = tuple(bevel_at(((u, below), (u, above)), corners) for u in (low, high))
    near, far = edges if row.starts_low else edges[::-1]
    left, right = ends if row.starts_low != left_handed else ends[::-1]
    rips = _ripped((near, far), high - low, above - below)
    return (*rips, *bevelled_ends((left, right), thickness))


def _ripped(angles: tuple[float, float], length: int, width: int) -> Iterator[SawRow]:
    names: tuple[WorkedEdge, WorkedEdge] = ("near", "far")
    for edge, angle in zip(names, angles, strict=True):
        if angle:
            yield SawRow(
                do="rip", edge=edge, from_left=0, length=length, widths=(width, width), angle=angle
            )
