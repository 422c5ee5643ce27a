"""The marks of a sheeted layer on its surface's page."""

from __future__ import annotations

from service.products.course_marks import course_marks
from service.products.cut_across import Slice
from service.products.drawing import (
    DrawnLayer,
    DrawnPiece,
    Joint,
    Lap,
    Mark,
    station_text,
    width_text,
)
from service.products.kinds.sheathing.records import LaidSheets, PlacedSheets, Sheets
from service.products.kinds.sheathing.strips import strips_of
from service.products.rows import PieceRow
from service.products.saw_rows import told_bevels
from service.units.writing import tape_size


def draw(placed: PlacedSheets, unit: str) -> DrawnLayer:
    """Pieces, end joints and rows of one layer, in the surface's own frame."""
    layer = placed.laid
    sheets: Sheets = layer.detail
    marks: list[Mark] = []
    for piece, row in zip(sheets.pieces, placed.pieces, strict=False):
        for polygon in piece.shape:
            rings = tuple(sheets.frame.ring_back(ring) for ring in polygon.rings)
            marks.append(
                DrawnPiece(rings, row.id.split(".", 2)[2], row.rip != "none", _size(row, unit))
            )
    back = sheets.frame.back
    marks += [
        Joint(back((at, near)), back((at, far)), station_text(at, unit))
        for at, near, far in sheets.ends(openings=True)
    ]
    marks += [
        Lap(
            back(one.line.ends[0]),
            back(one.line.ends[1]),
            strips.task.product.id,
            "batten or strip",
        )
        for strips in strips_of(layer)
        for one in strips.laths
    ]
    reaches = ((run.course, run.low, run.high) for run in sheets.laid.runs)
    marks += course_marks(layer.courses, reaches, sheets.frame, unit, layer.task.surface)
    product = layer.task.product
    cut = Slice("panel", product.thickness, product.id)
    notes = (*_notes(layer, unit), *told_bevels(one for row in placed.pieces for one in row.work))
    return DrawnLayer(layer.task.layer_id, "sheathing", tuple(marks), notes, cut)


def _size(row: PieceRow, unit: str) -> str:
    """What the piece is cut to: across, then along."""
    across = row.cut if row.cut_width is None else row.cut_width
    return f"{width_text(across, unit)} x {width_text(row.cut, unit)}"


def _notes(layer: LaidSheets, unit: str) -> tuple[str, ...]:
    task, sheets = layer.task, layer.detail
    edge, field = task.rules.spacings
    gap, wall = sheets.gap, task.rules.panel_wall_gap(task.product)
    gaps = f"{_gap(gap, unit)} at every edge"
    if gap != wall:
        gaps = f"{_gap(gap, unit)} between sheets, {_gap(wall, unit)} at walls"
    laid: tuple[str, ...] = ("Sheets are laid over openings and cut in place",)
    if task.product.shows:
        laid = (
            *laid,
            "Rip on a groove, factory edge to the next sheet: only in a corner is a bead cut",
        )
    return (
        f"Rows of {task.product.id}: {len(layer.courses)}, pieces: {len(sheets.pieces)}; {gaps}",
        f"Nail {tape_size(edge, unit)} apart at panel ends, {tape_size(field, unit)} in the field",
        *laid,
    )


def _gap(gap: int, unit: str) -> str:
    return f"gap {tape_size(gap, unit)}" if gap else "no gap"
