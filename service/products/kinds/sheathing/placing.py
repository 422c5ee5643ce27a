"""From a layer's share of the sheets to rows: every placed piece, every joint, every run."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from service.cutting.sheets.nesting import Part
from service.geometry.ends import End, ends_of, from_start
from service.geometry.plane import intersection, touches_edge
from service.geometry.rings import bounds, twice_area
from service.geometry.wall_corners import BevelledCorner
from service.layout.runs import Course
from service.products.goods.lumber.needs import LumberShare
from service.products.goods.lumber.needs import Need as LumberNeed
from service.products.goods.sheet import FORM as SHEET
from service.products.goods.sheet.needs import Edge, Need, Sheeting, SheetShare
from service.products.goods.sheet.sizing import sizing_of
from service.products.kinds.sheathing.accounts import account_for
from service.products.kinds.sheathing.bevels import bevels_of
from service.products.kinds.sheathing.corner import kept_edge
from service.products.kinds.sheathing.records import LaidSheets, PlacedSheets, SheetPiece, Sheets
from service.products.kinds.sheathing.rulings import bevelled
from service.products.kinds.sheathing.strips import strips_of
from service.products.kinds.sheathing.tape import taped
from service.products.laths import lath_rows, need_of
from service.products.layer import Books, Placed
from service.products.remarks import Remarks
from service.products.rows import CutoutRow, JointRow, PieceRow, RippedEdge, RunRow

Share = SheetShare | LumberShare
"""What a layer of sheets gets: sheets for its pieces, lumber for its strips."""


def needs(layer: LaidSheets) -> tuple[Need | LumberNeed, ...]:
    """What is sawn for each piece, every way in which the rows could be jointed, and all strips."""
    sheets: Sheets = layer.detail
    parts = {piece.id: _part(layer, piece) for piece in sheets.pieces}
    laid = sheets.rules
    keeps = {piece.id: edge for piece in sheets.pieces if (edge := _keeps(layer, piece))}
    wanted = Sheeting(
        parts=parts,
        ways=laid.ways,
        bare=laid.bare,
        rows=laid.rows,
        together=laid.together,
        keeps=keeps,
        after=layer.task.layer.wrap_corner if sheets.begun else None,
    )
    strips = (need_of(one.task, one.laths) for one in strips_of(layer))
    return (SHEET.need(layer.task, wanted), *strips)


def _part(layer: LaidSheets, piece: SheetPiece) -> Part:
    """What is cut from a sheet for a piece: the box round its shape."""
    low, high, near, far = bounds(piece.sawn)
    sizing, row, kept = sizing_of(layer.task), layer.detail.row(piece), _keeps(layer, piece)
    if layer.task.product.lap:
        wide = sizing.of_row(row.face, laps=not row.last) if kept else sizing.width
        return sizing.in_corner(high - low, wide)
    if kept == "far" and layer.detail.begun:
        return sizing.in_corner(high - low, sizing.bare_width(far - near))
    return sizing.part(high - low, far - near)


def _keeps(layer: LaidSheets, piece: SheetPiece) -> Edge | None:
    """Which of the mill's edges a piece of a panelling keeps that was ripped along the other."""
    if not layer.task.product.shows:
        return None
    return kept_edge(layer.detail.row(piece), begun=layer.detail.begun)


def place(layer: LaidSheets, shares: Sequence[Share], books: Books, said: Remarks) -> PlacedSheets:
    """Every piece, joint and row of one layer, from its share of the sheets, and its strips."""
    share, *others = shares
    assert isinstance(share, SheetShare)
    sheets: Sheets = layer.detail
    corners = bevelled(layer.task, sheets.frame)
    pieces = tuple(
        _piece(layer, one, *share.where[one.id], corners=corners) for one in sheets.pieces
    )
    account_for(layer, pieces, books[layer.task.product.id])
    runs = tuple(_runs(layer, pieces))
    joints = tuple(_joints(layer))
    strips = tuple(_strips(layer, others, books))
    return Placed(
        laid=layer,
        runs=runs,
        pieces=(*pieces, *strips),
        joints=joints,
        consumables=taped(layer),
        detail=None,
    )


def _strips(layer: LaidSheets, shares: Sequence[Share], books: Books) -> Iterator[PieceRow]:
    """Every strip over a seam or an end joint, each sort from its own share."""
    for strips, share in zip(strips_of(layer), shares, strict=True):
        assert isinstance(share, LumberShare)
        yield from lath_rows(strips.task, strips.laths, share, books[strips.task.product.id])


def _piece(
    layer: LaidSheets,
    piece: SheetPiece,
    sheet: str,
    part: Part,
    *,
    corners: Sequence[BevelledCorner],
) -> PieceRow:
    sheets: Sheets = layer.detail
    task, run, row = layer.task, sheets.run(piece), sheets.row(piece)
    low, high, *across = bounds(piece.sawn)
    box = 2 * (high - low) * (across[1] - across[0])
    plain = twice_area(piece.shape) == box
    rings = () if plain else tuple(ring for polygon in piece.shape for ring in polygon.rings)
    touch = task.rules.min_touch
    near, far = row.from_start(*across)
    first, last = ends_of(piece.sawn)
    cutouts = tuple(_cutouts(sheets, piece))
    return PieceRow(
        id=piece.id,
        run=piece.run,
        surface=task.surface.id,
        layer=task.layer_id,
        product=task.product.id,
        course=run.course,
        near=near,
        far=far,
        low=piece.low,
        high=piece.high,
        cut=part.length,
        ends=(_end(first), _end(last)),
        rip=_rip(layer, row, part, across),
        notches=sum(one.effect == "notch" for one in cutouts),
        holes=sum(len(polygon.holes) for polygon in piece.shape),
        rings=rings,
        twice_area=twice_area(piece.shape),
        bearings=len(sheets.line(piece).touched(piece.low, piece.high, touch)),
        stick=sheet,
        cuts=from_start((first, last), starts_low=row.starts_low),
        cutouts=cutouts,
        work=bevels_of(
            piece, row, corners, task.product.thickness, left_handed=layer.frame.left_handed
        ),
        cut_width=part.width,
    )


def _rip(layer: LaidSheets, row: Course, part: Part, across: Sequence[int]) -> RippedEdge:
    """The edge that is ripped: of a panelling the one in the corner, wherever that is (12.1)."""
    product = layer.task.product
    if not product.shows:
        return "none" if part.width == product.width else "far"
    if row.rip == "none" and across[1] - across[0] == row.face:
        return "none"
    return "near" if kept_edge(row, begun=layer.detail.begun) == "far" else "far"


def _end(end: End) -> str:
    """An end is shaped where its cut is not one straight across."""
    return "square" if end.angle == 0 else "shaped"


def _cutouts(sheets: Sheets, piece: SheetPiece) -> Iterator[CutoutRow]:
    """What openings take of a piece: a hole where they leave its edges whole, else a notch."""
    if piece.shape == piece.sawn:
        return
    row = sheets.row(piece)
    for openings, shape in sheets.holes:
        for part in intersection(piece.sawn, shape):
            low, high, *across = part.box
            near, far = row.from_start(*across)
            yield CutoutRow(
                effect="notch" if touches_edge((part,), piece.sawn) else "hole",
                openings=openings,
                near=near,
                far=far,
                low=low,
                high=high,
            )


def _runs(layer: LaidSheets, pieces: Sequence[PieceRow]) -> list[RunRow]:
    """Every connected part of every row."""
    sheets: Sheets = layer.detail
    task = layer.task
    touch = task.rules.min_touch
    own: dict[str, list[PieceRow]] = defaultdict(list)
    for piece in pieces:
        own[piece.run].append(piece)
    rows = []
    for name, parts in own.items():
        row, line = sheets.laid.courses[parts[0].course - 1], sheets.lines[parts[0].course - 1]
        near, far = row.from_start(
            min(min(part.near, part.far) for part in parts),
            max(max(part.near, part.far) for part in parts),
        )
        low, high = parts[0].low, parts[-1].high
        rows.append(
            RunRow(
                id=name,
                surface=task.surface.id,
                layer=task.layer_id,
                course=row.number,
                near=near,
                far=far,
                low=low,
                high=high,
                bearings=len(line.touched(low, high, touch)),
                pieces=len(parts),
                gap=sheets.gap,
            )
        )
    return rows


def _joints(layer: LaidSheets) -> list[JointRow]:
    """Every end joint, with the member it lands on and the distance to its neighbours."""
    sheets: Sheets = layer.detail
    rows: dict[int, list[int]] = defaultdict(list)
    for run, joints in zip(sheets.laid.runs, sheets.joints, strict=True):
        rows[run.course] += joints
    found = []
    for run, joints in zip(sheets.laid.runs, sheets.joints, strict=True):
        own = {piece.low: piece.id for piece in sheets.pieces if sheets.run(piece) is run}
        ends = {piece.high: piece.id for piece in sheets.pieces if sheets.run(piece) is run}
        for at in joints:
            before = ends.get(at - sheets.gap // 2)
            after = own.get(at + sheets.gap - sheets.gap // 2)
            if before is not None and after is not None:
                found.append(_joint(layer, run.course, at, (before, after), rows))
    return found


def _joint(
    layer: LaidSheets, row: int, at: int, between: tuple[str, str], rows: dict[int, list[int]]
) -> JointRow:
    sheets: Sheets = layer.detail
    line, task = sheets.lines[row - 1], layer.task
    number = line.numbers[line.stations.index(at)] if at in line.stations else None
    return JointRow(
        surface=task.surface.id,
        layer=task.layer_id,
        course=row,
        between=between,
        at=at,
        on="block" if number is None else "framing",
        bearing=number,
        offset_before=_offset(at, rows.get(row - 1)),
        offset_after=_offset(at, rows.get(row + 1)),
        offset_repeat=_offset(at, rows.get(row - 2)),
    )


def _offset(at: int, others: list[int] | None) -> int | None:
    return min((abs(at - other) for other in others), default=None) if others else None
