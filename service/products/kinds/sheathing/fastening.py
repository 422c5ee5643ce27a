"""Fasteners of sheets, counted over the placed pieces and what each of them touches."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import hypot

from service.fastening.panels import Line, rows_across, rows_along
from service.fastening.reach import Need, Ply, Way, reach_of
from service.fastening.spacing import points
from service.geometry.rings import Polygon, bounds, reaches
from service.products.fastener_rows import Counted, through_the_face
from service.products.fasteners import (
    holding_length,
    named_clip,
    named_fastener,
    reach_in_framing,
)
from service.products.goods.fastener.spec import FastenerProduct
from service.products.kinds.sheathing.records import LaidSheets, PlacedSheets, SheetPiece, Sheets
from service.products.kinds.sheathing.rulings import Task
from service.products.kinds.sheathing.strips import strips_of
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.units.ticks import INCH, whole

NEAR_END = INCH
"""A member within this of a sheet's end carries that end."""


def fasten(placed: PlacedSheets, said: Remarks) -> tuple[FastenerRow, ...]:
    """The fasteners of one layer: rows at edges, rows between, and along carried long edges."""
    layer = placed.laid
    sheets: Sheets = layer.detail
    task = layer.task
    edge, field = task.rules.spacings
    counts: Counter[str] = Counter()
    for piece in sheets.pieces:
        counts += _of_piece(sheets, piece, task, edge, field)
    named = named_fastener(task, said)
    reach = reach_in_framing(task, named, said)
    spacing = {"edge": edge, "field": field, "long edge": edge}
    found = (Counted(where, count, _COUNTED[where], spacing[where])
             for where, count in sorted(counts.items()))  # fmt: skip
    rows = through_the_face(task, "rows", named, reach, found)
    return (*rows, *_clips(sheets, task, said), *_of_strips(layer, said))


_COUNTED = {
    "edge": "points along members under ends and at openings, each sheet its own",
    "field": "points along the other members",
    "long edge": "points along carried edges, corners once",
}


def _of_piece(sheets: Sheets, piece: SheetPiece, task: Task, edge: int, field: int) -> Counter[str]:
    away = task.rules.edge_distance
    lines = _lines(sheets, piece, task)
    counts: Counter[str] = Counter()
    for line in lines:
        where = "edge" if line.at_edge else "field"
        counts[where] += rows_across(line, edge if line.at_edge else field, away)
    for length, crossed in _long_edges(sheets, piece, task):
        counts["long edge"] += rows_along(length, crossed, edge, away)
    return counts


def _lines(sheets: Sheets, piece: SheetPiece, task: Task) -> list[Line]:
    """The members that a piece touches, with the lengths over which it lies on each."""
    touch = task.rules.min_touch
    if sheets.along_framing:
        _, _, near, far = bounds(piece.sawn)
        found = [at for at in sheets.seats if near - NEAR_END <= at <= far + NEAR_END]
        return [
            Line(_chords(piece, at, 1), min(abs(at - near), abs(at - far)) <= NEAR_END)
            for at in found
        ]
    if any(one.slant for one in sheets.bearings):
        return _slanting(sheets, piece, touch)
    line = sheets.line(piece)
    return [
        Line(
            _chords(piece, line.stations[k], 0),
            _at_end(piece, line.stations[k], line.half)
            or _at_opening(sheets, piece, line.stations[k], line.half),
        )
        for k in line.touched(piece.low, piece.high, touch)
    ]


def _slanting(sheets: Sheets, piece: SheetPiece, touch: int) -> list[Line]:
    """Members that cross a piece at a slant: as far as they go under it.

    A sheet that is sheared until the member stands upright shows how far it reaches across; along
    the member that is longer by its slant.
    """
    found = []
    for one in sheets.bearings:
        sheared = (
            Polygon(tuple((u - whole(one.slant * v), v) for u, v in polygon.outer),
                    tuple(tuple((u - whole(one.slant * v), v) for u, v in hole)
                          for hole in polygon.holes))
            for polygon in piece.shape
        )  # fmt: skip
        lengths = tuple(
            whole((b - a) * hypot(1, one.slant))
            for polygon in sheared
            for a, b in reaches(polygon, one.base, 0)
        )
        if sum(lengths) >= touch:
            found.append(Line(lengths, at_edge=False))
    return found


def _chords(piece: SheetPiece, at: int, axis: int) -> tuple[int, ...]:
    """Lengths over which a piece lies on a line; a line under its edge is taken just inside."""
    box = bounds(piece.shape)
    low, high = box[2 * axis], box[2 * axis + 1]
    inside = min(max(at, low + 1), high - 1)
    return tuple(b - a for polygon in piece.shape for a, b in reaches(polygon, inside, axis))


def _at_end(piece: SheetPiece, at: int, half: int) -> bool:
    return min(abs(at - piece.low), abs(at - piece.high)) <= half + NEAR_END


def _at_opening(sheets: Sheets, piece: SheetPiece, at: int, half: int) -> bool:
    """Whether a member stands along the edge of an opening in this piece: denser, once (18.8).

    A round opening has no side for a member to stand along.
    """
    _, _, near, far = bounds(piece.sawn)
    for polygon in sheets.framed:
        low, high, bottom, top = polygon.box
        beside = min(abs(at - low), abs(at - high)) <= half + NEAR_END
        if beside and bottom < far and top > near:
            return True
    return False


def _long_edges(sheets: Sheets, piece: SheetPiece, task: Task) -> list[tuple[int, int]]:
    """Parts of edges that blocks carry: their length, and how many members cross them (18.7).

    Where sheets run with the members these are ends: all if `blocked`, else those that meet.
    """
    axis = 0 if sheets.along_framing else 1
    box, touch = bounds(piece.sawn), task.rules.min_touch
    found = []
    for at, inside in ((box[2 * axis], 1), (box[2 * axis + 1], -1)):
        beside = _beside_what_is_up(sheets, at, axis, task)
        if not beside and sheets.edges != "blocked" and not _on_block(sheets, piece, at):
            continue
        for polygon in piece.shape:
            for low, high in reaches(polygon, at + inside, axis):
                if high - low >= touch:
                    crossed = _crossed(sheets, piece, low, high, touch)
                    found += [(high - low, crossed)] * (1 + beside)
    return found


def _beside_what_is_up(sheets: Sheets, at: int, axis: int, task: Task) -> bool:
    """Whether an edge of a patch meets a sheet that is up on blocks: that is nailed there too."""
    lines = task.standing.edges if task.standing is not None else ()
    ends = [tuple(map(sheets.frame.to, line)) for line in lines]
    return any(
        start[axis] == end[axis] and abs(start[axis] - at) <= sheets.gap for start, end in ends
    )


def _on_block(sheets: Sheets, piece: SheetPiece, at: int) -> bool:
    """Whether an end of a piece meets another on a block: the members run with the sheets."""
    if not sheets.along_framing:
        return False
    half = sheets.gap - sheets.gap // 2
    return any(abs(at - joint) <= half for joint in sheets.joints[piece.of])


def _crossed(sheets: Sheets, piece: SheetPiece, low: int, high: int, touch: int) -> int:
    """Members that cross an edge between two stations of it."""
    if sheets.along_framing:
        return sum(low - NEAR_END <= at <= high + NEAR_END for at in sheets.seats)
    return len(sheets.line(piece).touched(low, high, touch))


def _of_strips(layer: LaidSheets, said: Remarks) -> Iterator[FastenerRow]:
    """Nails of the strips over seams and ends; the sheets keep their own rows there (18.8)."""
    task, rules = layer.task, layer.task.rules
    laths = [(one, strips) for strips in strips_of(layer) for one in strips.laths]
    if not laths or task.layer.strips is None:
        return
    name = task.layer.strips.fastener
    named = None if name is None else task.named(name, FastenerProduct)
    thick = max(strips.task.product.thickness for _, strips in laths)
    reach = None
    if named is not None:
        through = (Ply(task.product.thickness, True), *task.ground.plies)
        way = Way(thick, through, carrier="wood", depth=task.ground.depth)
        reach = reach_of(holding_length(task, named, [way], Need(rules.trim_bite), said), way)
    apart = rules.trim_spacing
    count = sum(points(one.cut, apart, rules.end_distance) for one, _ in laths)
    text = "points along each strip over a seam or an end joint"
    yield from through_the_face(task, "rows", named, reach, [Counted("strip", count, text, apart)])


def _clips(sheets: Sheets, task: Task, said: Remarks) -> tuple[FastenerRow, ...]:
    """One clip in each bay of each seam, if asked for (11.8)."""
    if sheets.edges != "clips":
        return ()
    touch = task.rules.min_touch
    count = sum(
        max(0, len(sheets.lines[seam.row - 1].touched(seam.low, seam.high, touch)) - 1)
        for seam in sheets.seams(openings=True)
    )
    if not count:
        return ()
    return (
        FastenerRow(
            surface=task.surface.id,
            layer=task.layer_id,
            product=named_clip(task, task.layer.fastening, said),
            where="seam",
            pattern="clips",
            place="edge",
            spacing=None,
            count=count,
            counted="bays along seams",
            reach=None,
        ),
    )
