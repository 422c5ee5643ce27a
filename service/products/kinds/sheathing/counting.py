"""What is bought and where it goes: order, ledger and the flat percentage beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from service.geometry.plane import difference, intersection
from service.geometry.rings import Polygon, bounds, rectangle, twice_area
from service.ledger.book import Ledger, Page
from service.order.lines import Bought
from service.products.buying import close_books, order_lines, weight_of
from service.products.kind import LaidLayer, Said, Supplied, Task
from service.products.rows import ComparedRow, OrderRow, PieceRow
from service.units.ticks import ceiling

if TYPE_CHECKING:
    from service.products.kinds.sheathing.laying import Piece, Sheets


def order_of(
    task: Task, need: Mapping[int, int], said: Said
) -> tuple[tuple[OrderRow, ...], Counter[str]]:
    """One line a row of stock; and the length bought beyond the sheets, by account.

    `need` counts the sheets by the row's number.
    """

    def row(stock: Any, line: Bought) -> OrderRow:
        return _order_row(task, stock, line)

    return order_lines(task, need, said, row, "sheets")


def _order_row(task: Task, stock: Any, line: Bought) -> OrderRow:
    product = task.product
    price = None if stock.price is None else float(stock.price * line.buy)
    weight = weight_of(task, product.width * stock.length * line.buy)
    return OrderRow(
        product=product.id,
        form="sheet",
        item=product.id,
        length=stock.length,
        bought=line,
        price=price,
        weight=weight,
        width=product.width,
    )


def account_for(made: Supplied, extra: Mapping[str, int]) -> None:
    """Every bought half square tick into its account; raises LawBroken if any is missing."""
    width = made.layers[0].task.product.width
    ledger = Ledger(made.product)
    for layer, rows in zip(made.layers, made.details, strict=True):
        sheets: Sheets = layer.detail
        page = ledger.of(layer.task.surface.id)
        for piece, row in zip(sheets.pieces, rows, strict=True):
            _piece(page, layer, piece, row)
    for sheet in made.sheets:
        ledger.enter("kerf", sheet.kerf)
        ledger.enter("offcut_kept", 2 * sum(box[2] * box[3] for box in sheet.kept))
        ledger.enter("short_rest", 2 * sum(box[2] * box[3] for box in sheet.waste))
    close_books(made, ledger, width, extra)
    made.covers_half_square_ticks = made.bought_half_square_ticks


def _piece(page: Page, layer: LaidLayer, piece: Piece, row: PieceRow) -> None:
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
    page.enter("fit", 2 * row.cut * row.cut_width - box)


def _slanted(rest: Polygon) -> bool:
    return not all(a[0] == b[0] or a[1] == b[1] for a, b in pairwise([*rest.outer, rest.outer[0]]))


def compare(made: Supplied) -> ComparedRow:
    """The flat percentage on the drawn area, in whole sheets of the longest length (10.3)."""
    task = made.layers[0].task
    percent = task.rules.get("flat_pct")
    drawn = sum(layer.task.surface.net for layer in made.layers)
    longest = max(stock.length for stock in task.product.stock)
    flat = Fraction(drawn, 2 * task.product.width * longest) * (1 + Fraction(percent) / 100)
    bought = sum(row.bought.buy for row in made.order)
    return ComparedRow(
        product=made.product,
        flat_pct=float(percent),
        would_order=ceiling(flat),
        bought=bought,
        measured_in="sheets",
    )
