"""What is bought of rolls and where it goes: order and ledger."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import partial

from service.ledger.book import Ledger
from service.order.lines import Bought
from service.products.bought_rows import OrderRow, OwnedRow
from service.products.buying import close_books, order_lines, owned_lines
from service.products.goods.roll.rulings import Task
from service.products.remarks import Remarks
from service.products.supplied import Supplied
from service.schemas.stock import StockRow
from service.units.writing import roll_size


def order_of(
    task: Task, need: Mapping[int, int], said: Remarks
) -> tuple[tuple[OrderRow, ...], Counter[str]]:
    """One line a row of stock; and the length bought beyond the rolls, by account.

    `need` counts the rolls by the row's number.
    """
    product = task.product

    def row(stock: StockRow, line: Bought) -> OrderRow:
        price = None if stock.price is None else float(stock.price * line.buy)
        return OrderRow(
            product=product.id,
            form="roll",
            size=partial(roll_size, product.width, stock.length),
            written=product.called,
            length=stock.length,
            bought=line,
            price=price,
            weight=None,
            width=product.width,
        )

    return order_lines(task, need, said, row)


def owned_of(task: Task, need: Mapping[int, int]) -> tuple[OwnedRow, ...]:
    """One line a length of the caller's own rolls; `need` counts rolls by the row's number."""
    product = task.product

    def row(own: StockRow, used: int) -> OwnedRow:
        return OwnedRow(
            product=product.id,
            size=partial(roll_size, product.width, own.length),
            written=product.called,
            length=own.length,
            width=product.width,
            count=own.on_hand or 0,
            used=used,
        )

    return owned_lines(task, need, row)


def close(made: Supplied, ledger: Ledger, width: int, extra: Mapping[str, int]) -> None:
    """Enter what is left of the rolls; raises LawBroken if anything is missing."""
    for roll in made.sticks:
        ledger.enter("offcut_kept" if roll.kept else "short_offcut", 2 * width * roll.offcut)
    close_books(made, ledger, width, extra)
    laps = dict(ledger.entries())["lap_or_tongue"]
    made.covers_half_square_ticks = made.booked + 2 * width * made.owned_length - laps
