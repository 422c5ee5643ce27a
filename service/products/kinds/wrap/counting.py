"""What is bought and where it goes: order, ledger and the flat percentage beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from service.geometry.plane import difference, intersection
from service.geometry.rings import Polygon, rectangle, twice_area
from service.ledger.book import Ledger, Page
from service.order.lines import Bought
from service.products.buying import close_books, order_lines
from service.products.kind import LaidLayer, Said, Supplied, Task
from service.products.rows import ComparedRow, OrderRow
from service.units.ticks import ceiling

if TYPE_CHECKING:
    from service.products.kinds.wrap.laying import Wrap
    from service.products.kinds.wrap.supplying import Piece


def order_of(
    task: Task, need: Mapping[int, int], said: Said
) -> tuple[tuple[OrderRow, ...], Counter[str]]:
    """One line a row of stock; and the length bought beyond the rolls, by account.

    `need` counts the rolls by the row's number.
    """
    product = task.product

    def row(stock: Any, line: Bought) -> OrderRow:
        price = None if stock.price is None else float(stock.price * line.buy)
        return OrderRow(
            product=product.id,
            form="roll",
            item=product.id,
            length=stock.length,
            bought=line,
            price=price,
            weight=None,
            width=product.width,
        )

    return order_lines(task, need, said, row, "rolls")


def account_for(made: Supplied, extra: Mapping[str, int]) -> None:
    """Every bought half square tick into its account; raises LawBroken if any is missing."""
    width = made.layers[0].task.product.width
    ledger = Ledger(made.product)
    for layer, pieces in zip(made.layers, made.details, strict=True):
        for piece in pieces:
            _piece(ledger.of(layer.task.surface.id), layer, piece, width)
    for roll in made.sticks:
        ledger.enter("offcut_kept" if roll.kept else "short_rest", 2 * width * roll.rest)
    close_books(made, ledger, width, extra)
    laps = dict(ledger.entries())["lap_or_tongue"]
    made.covers_half_square_ticks = made.bought_half_square_ticks - laps


def _piece(page: Page, layer: LaidLayer, piece: Piece, width: int) -> None:
    """One piece: what it covers, its laps and turn-downs, what is cut off and cut out."""
    wrap: Wrap = layer.detail
    low, high, near, far = piece.zone
    whole, zone = 2 * width * (piece.high - piece.low), 2 * (high - low) * (far - near)
    on = twice_area(piece.covers)
    turned, ripped = (0, 0) if on == zone else _at_edges(wrap, piece)
    page.enter("lap_or_tongue", whole - zone + turned)
    page.enter("rip", ripped)
    page.enter("notch", piece.cut)
    page.enter("installed", on - piece.cut)
    page.enter("snap", zone - turned - ripped - on)


def _at_edges(wrap: Wrap, piece: Piece) -> tuple[int, int]:
    """Twice the areas of a piece's zone that are turned down, and that reach further."""
    low, high, near, far = piece.zone
    box = (Polygon(rectangle(low, near, high, far)),)
    reached = intersection(wrap.cover, box)
    beyond = difference(box, reached)
    # An opening that is left out of the wrap lies beyond the cover too, and is no rip.
    ripped = twice_area(beyond) - twice_area(intersection(beyond, piece.covers))
    return twice_area(difference(reached, wrap.outline)), ripped


def compare(made: Supplied) -> ComparedRow:
    """The flat percentage on the drawn area, in whole rolls of the longest length (10.3)."""
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
        measured_in="rolls",
    )
