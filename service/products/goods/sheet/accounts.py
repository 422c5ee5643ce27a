"""What is bought of sheets and where it goes: order and ledger."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import partial

from service.ledger.book import Ledger
from service.order.lines import Bought
from service.products.bought_rows import OrderRow, OwnedRow
from service.products.buying import close_books, order_lines, owned_lines, weight_of
from service.products.goods.sheet.rulings import Task
from service.products.goods.sheet.spec import SheetProduct
from service.products.remarks import Remarks
from service.products.supplied import Supplied
from service.schemas.stock import StockRow
from service.units.writing import sheet_size


def order_of(
    task: Task, need: Mapping[int, int], said: Remarks
) -> tuple[tuple[OrderRow, ...], Counter[str]]:
    """One line a row of stock; and the length bought beyond the sheets, by account.

    `need` counts the sheets by the row's number.
    """
    return order_lines(task, need, said, partial(_order_row, task))


def _order_row(task: Task, stock: StockRow, line: Bought) -> OrderRow:
    product = task.product
    price = None if stock.price is None else float(stock.price * line.buy)
    weight = weight_of(task, product.width * stock.length * line.buy)
    return OrderRow(
        product=product.id,
        form="sheet",
        size=partial(sheet_size, product.width, stock.length),
        written=product.called,
        thickness=_thickness(product),
        length=stock.length,
        bought=line,
        price=price,
        weight=weight,
        width=product.width,
    )


def owned_of(task: Task, need: Mapping[int, int]) -> tuple[OwnedRow, ...]:
    """One line a length of the caller's own sheets; `need` counts sheets by the row's number."""
    product = task.product

    def row(own: StockRow, used: int) -> OwnedRow:
        return OwnedRow(
            product=product.id,
            size=partial(sheet_size, product.width, own.length),
            written=product.called,
            thickness=_thickness(product),
            length=own.length,
            width=product.width,
            count=own.on_hand or 0,
            used=used,
        )

    return owned_lines(task, need, row)


def _thickness(product: SheetProduct) -> int | None:
    """How thick a sheet is, where no description stands for all that it is called."""
    return product.thickness if product.description is None else None


def close(made: Supplied, ledger: Ledger, width: int, extra: Mapping[str, int]) -> None:
    """Enter what the sheets take beside their pieces; raises LawBroken if anything is missing."""
    for sheet in made.sheets:
        ledger.enter("kerf", sheet.kerf)
        ledger.enter("offcut_kept", 2 * sum(box[2] * box[3] for box in sheet.kept))
        ledger.enter("short_offcut", 2 * sum(box[2] * box[3] for box in sheet.waste))
    close_books(made, ledger, width, extra)
    made.covers_half_square_ticks = made.booked + 2 * width * made.owned_length
