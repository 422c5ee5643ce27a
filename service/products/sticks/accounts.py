"""What is bought in sticks and where it goes: order, ledger and the flat percentage beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import partial

from service.cutting.records import Stock
from service.joints.records import Jointed
from service.ledger.book import Ledger
from service.order.lines import Bought, board_feet
from service.products.bought_rows import OrderRow, OwnedRow
from service.products.buying import close_books, order_lines, owned_lines, weight_of
from service.products.compared import AsYouGo, ComparedRow
from service.products.remarks import Remarks
from service.products.sticks.task import StickTask
from service.products.supplied import Supplied
from service.products.supply import to_buy
from service.schemas.stock import StockRow
from service.units.ticks import whole
from service.units.writing import feet_of_stock, stock_length


def order_of(
    task: StickTask, need: Mapping[int, int], said: Remarks
) -> tuple[tuple[OrderRow, ...], Counter[str]]:
    """One line a row of stock; and the length bought beyond the sticks, by account.

    `need` counts the sticks by the row's number.
    """
    return order_lines(task, need, said, partial(_order_row, task))


def _order_row(task: StickTask, stock: StockRow, line: Bought) -> OrderRow:
    product = task.product
    price = None if stock.price is None else float(stock.price * line.buy)
    weight = weight_of(task, product.laid_width * stock.length * line.buy)
    feet = None
    if product.nominal is not None:
        nominal = product.nominal
        length = stock.length * line.buy
        feet = round(float(board_feet(nominal.thickness, nominal.width, length)), 3)
    named = None if product.nominal is None else product.nominal.written
    return OrderRow(
        product=product.id,
        form=product.form,
        size=partial(feet_of_stock if named else stock_length, stock.length),
        written=product.written,
        nominal=named,
        length=stock.length,
        bought=line,
        price=price,
        weight=weight,
        board_feet=feet,
    )


def owned_of(task: StickTask, need: Mapping[int, int]) -> tuple[OwnedRow, ...]:
    """One line a length of the caller's own sticks; `need` counts sticks by the row's number."""
    product = task.product
    named = None if product.nominal is None else product.nominal.written

    def row(own: StockRow, used: int) -> OwnedRow:
        return OwnedRow(
            product=product.id,
            size=partial(feet_of_stock if named else stock_length, own.length),
            written=product.written,
            nominal=named,
            length=own.length,
            count=own.on_hand or 0,
            used=used,
        )

    return owned_lines(task, need, row)


def close(made: Supplied, ledger: Ledger, extra: Mapping[str, int], width: int | None) -> None:
    """Enter what the sticks take beside their pieces; raises LawBroken if anything is missing.

    `width` is that of the stock where it is booked by area, None where by length.
    """
    each = 1 if width is None else 2 * width
    for stick in made.sticks:
        ledger.enter("kerf", each * stick.kerf)
        ledger.enter("end_trim", each * stick.end_trim)
        ledger.enter("offcut_kept" if stick.kept else "short_offcut", each * stick.offcut)
    close_books(made, ledger, width, extra)


def compare(
    task: StickTask, made: Supplied, flat: int, plan: Jointed, stocks: Sequence[Stock]
) -> ComparedRow:
    """The flat percentage beside the order, as the length `flat` (10.3), and cut as you go.

    What is used of the caller's own stock need not be ordered by the percentage either; cutting as
    you go, which takes one length alone, is no way to use it.
    """
    flat = max(0, flat - made.owned_length)
    usual = None if made.owned else plan.as_you_go
    total = sum(row.length * row.bought.buy for row in made.order if row.length is not None)
    prices = [row.price for row in made.order]
    cost = sum(Fraction(price) for price in prices if price)
    rates = [None if one.price is None else one.price / one.length for one in task.product.stock]
    dear = None if None in rates else min(rate for rate in rates if rate is not None)
    return ComparedRow(
        product=made.product,
        flat_pct=float(task.rules.flat_pct),
        would_order=flat,
        bought=total,
        would_cost=None if dear is None else round(float(flat * dear), 2),
        cost=None if None in prices else float(round(cost, 2)),
        joints=plan.joints,
        as_you_go=None if usual is None else _as_you_go(task, usual, stocks),
    )


def flat_length(task: StickTask, lengths: Fraction) -> int:
    """What the flat percentage would order of a length, ticks."""
    return whole(lengths * (1 + Fraction(task.rules.flat_pct) / 100))


def _as_you_go(task: StickTask, usual: Jointed, stocks: Sequence[Stock]) -> AsYouGo:
    """What cutting in order would order of its one stock length, culls and spares alike (8.10)."""
    stock = task.product.rows[int(stocks[usual.plan.sticks[0].stock].key)]
    line = to_buy(task, stock, len(usual.plan.sticks))
    cost = None if stock.price is None else round(float(stock.price * line.buy), 2)
    return AsYouGo(
        sticks=line.buy,
        stock=stock.length,
        cost=cost,
        joints=usual.joints,
        in_courses=bool(usual.cuts) and task.product.form == "board",
    )
