"""What each piece takes of its sheet, account by account of the ledger."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from service.geometry.plane import difference, intersection
from service.geometry.rings import Polygon, bounds, rectangle, twice_area
from service.ledger.book import Ledger, Page
from service.products.goods.sheet.sizing import sizing_of
from service.products.kinds.sheathing.records import LaidSheets, SheetPiece, Sheets
from service.products.rows import PieceRow


def account_for(layer: LaidSheets, rows: Sequence[PieceRow], ledger: Ledger) -> None:
    """What each piece of a layer takes of its sheet, account by account."""
    sheets: Sheets = layer.detail
    page = ledger.of(layer.task.surface.id)
    for piece, row in zip(sheets.pieces, rows, strict=True):
        _piece(page, layer, piece, row)


def _piece(page: Page, layer: LaidSheets, piece: SheetPiece, row: PieceRow) -> None:
    """One piece's blank: what it covers, what walls and openings take out of it, and its fit."""
    low, high, near, far = bounds(piece.sawn)
    box = 2 * (high - low) * (far - near)
    taken = 0
    for rest in difference((Polygon(rectangle(low, near, high, far)),), piece.sawn):
        page.enter("mitre" if _slanted(rest) else "notch", rest.twice_area)
        taken += rest.twice_area
    cut_out = 0
    if piece.shape is not piece.sawn:
        cut_out = twice_area(intersection(piece.sawn, layer.detail.openings))
    page.enter("notch", cut_out)
    page.enter("installed", row.twice_area)
    page.enter("snap", box - taken - cut_out - row.twice_area)
    assert row.cut_width is not None
    lapped, ripped = _edges(layer, piece, row)
    page.enter("lap_or_tongue", 2 * row.cut * lapped)
    page.enter("rip", 2 * row.cut * ripped)
    page.enter("fit", 2 * row.cut * (row.cut_width - lapped - ripped) - box)


def _edges(layer: LaidSheets, piece: SheetPiece, row: PieceRow) -> tuple[int, int]:
    """Of the width that a piece takes: what laps the next sheet, and what is ripped off (12.1)."""
    product, sizing = layer.task.product, sizing_of(layer.task)
    *_, near, far = bounds(piece.sawn)
    course = layer.detail.row(piece)
    wide = sizing.bare_width(far - near)
    assert row.cut_width is not None
    lapped = min(product.lap or 0, row.cut_width - wide) if not course.last else 0
    return lapped, row.cut_width - wide - lapped


def _slanted(rest: Polygon) -> bool:
    return not all(a[0] == b[0] or a[1] == b[1] for a, b in pairwise([*rest.outer, rest.outer[0]]))
