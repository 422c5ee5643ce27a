"""Fasteners of sheets that stay up: along new edges, and over new work behind (18.7, 21.4)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from service.fastening.panels import Line, rows_across
from service.fastening.spacing import points
from service.geometry.plane import intersection, without_slivers
from service.geometry.rings import Region, reaches
from service.layout.bearings import BearingLine
from service.products.fastener_rows import Counted, through_the_face
from service.products.fasteners import named_fastener, reach_in_framing
from service.products.kinds.sheathing.records import PlacedSheets, SheetPiece
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.standing import Reopened
from service.units.ticks import INCH

Upright = tuple[int, int, int]
"""An edge across a row: its station, and from where to where it goes."""

_COUNTED: Final = {
    "cut end": "points along new edges on members",
    "loosened": "points along members over new work behind",
}


def fasten_again(
    placed: PlacedSheets, after: PlacedSheets, opened: Reopened, said: Remarks
) -> tuple[FastenerRow, ...]:
    """What sheets take anew that stay up: along edges cut on members, and where loosened."""
    task = after.laid.task
    edge, field = task.rules.spacings
    away, over = task.rules.edge_distance, after.laid.frame.region(opened.over)
    pieces = {one.id: one for one in placed.laid.detail.pieces}
    counts = Counter[str]()
    for stay in (one for one in opened.stays if one.piece in pieces):
        piece = pieces[stay.piece]
        shape, line = stay.shape or piece.shape, _members(piece, placed, after)
        new = _new_edges(piece.shape, shape, line, after.laid.detail.gap)
        counts["cut end"] += sum(points(far - near, edge, away) for _, near, far in new)
        counts["loosened"] += sum(rows_across(one, field, away) for one in _over(shape, over, line))
    apart = {"cut end": edge, "loosened": field}
    named = named_fastener(task, said)
    found = (Counted(where, count, _COUNTED[where], apart[where])
             for where, count in sorted((+counts).items()))  # fmt: skip
    return through_the_face(task, "rows", named, reach_in_framing(task, named, said), found)


def _members(piece: SheetPiece, placed: PlacedSheets, after: PlacedSheets) -> BearingLine:
    """The members as the row of the second job meets them in which a sheet lies."""
    was, sheets = placed.laid.detail.row(piece), after.laid.detail
    rows = zip(sheets.laid.courses, sheets.lines, strict=True)
    return next(line for row, line in rows if (row.low, row.high) == (was.low, was.high))


def _new_edges(was: Region, shape: Region, line: BearingLine, gap: int) -> Iterator[Upright]:
    """Edges of what stays of a sheet that it had not, and that a member carries."""
    there = {at for at, *_ in _uprights(was)}
    for at, near, far in _uprights(shape):
        borne = any(abs(at - one) <= line.half + gap for one in line.stations)
        if at not in there and borne:
            yield at, near, far


def _uprights(region: Region) -> Iterator[Upright]:
    for ring in (ring for part in region for ring in part.rings):
        for (u, v), (w, z) in zip(ring, ring[1:] + ring[:1], strict=True):
            if u == w:
                yield u, min(v, z), max(v, z)


def _over(shape: Region, over: Region, line: BearingLine) -> Iterator[Line]:
    """Members under what of a sheet lies over new work."""
    parts = without_slivers(intersection(shape, over), INCH // 2) if over else ()
    for at in line.stations if parts else ():
        yield Line(tuple(b - a for part in parts for a, b in reaches(part, at, 0)), at_edge=False)
