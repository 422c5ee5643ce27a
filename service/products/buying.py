"""From sticks, sheets or rolls to what is bought: the lines of the order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Literal, Protocol

from service.errors import Finding
from service.ledger.book import Ledger
from service.order.lines import Bought
from service.products.bought_rows import LedgerRow, LedgerShareRow, OrderRow, OwnedRow
from service.products.compared import ComparedRow
from service.products.layer import StockTask
from service.products.remarks import Remarks
from service.products.rulings import StockRulings
from service.products.supplied import Supplied
from service.products.supply import to_buy
from service.schemas.stock import StockRow
from service.units.ticks import FOOT, ceiling
from service.units.writing import density


class Weighed(Protocol):
    """A product whose weight is known where its density was sent."""

    @property
    def density(self) -> Fraction | None:
        """Pounds a cubic foot."""

    @property
    def thickness(self) -> int:
        """Ticks."""


class WeighedTask(Protocol):
    """What takes such a product."""

    @property
    def product(self) -> Weighed:
        """What is weighed."""

    @property
    def rules(self) -> StockRulings:
        """The rules of its stock as they hold."""

    @property
    def unit(self) -> str:
        """The unit of the request."""


def order_lines(
    task: StockTask,
    need: Mapping[int, int],
    said: Remarks,
    row: Callable[[StockRow, Bought], OrderRow],
) -> tuple[tuple[OrderRow, ...], Counter[str]]:
    """One line a row of stock, from need to purchase; `row` writes a row's line.

    `need` counts the plan's sticks, sheets or rolls by the row's number. The counter is the length
    bought beyond them, by account (`cull`, `spare`, `surplus`), in ticks.
    """
    _note_allowances(task, said)
    rows, extra = [], Counter[str]()
    for k, stock in sorted(enumerate(task.product.rows), key=lambda one: -one[1].length):
        if stock.is_owned:
            continue
        count = need.get(k, 0)
        if not count:
            continue
        line = to_buy(task, stock, count)
        extra["cull"] += line.cull * stock.length
        extra["spare"] += line.spare * stock.length
        extra["surplus"] += line.left_over * stock.length
        rows.append(replace(row(stock, line), culled=Fraction(task.rules.cull) / 100))
    return tuple(rows), extra


def owned_lines(
    task: StockTask, need: Mapping[int, int], row: Callable[[StockRow, int], OwnedRow]
) -> tuple[OwnedRow, ...]:
    """One line a length of the caller's own stock, the longest first; `row` writes it.

    `need` counts the plan's sticks or sheets by the row's number.
    """
    own = [(one, need.get(k, 0)) for k, one in enumerate(task.product.rows) if one.is_owned]
    return tuple(row(one, used) for one, used in sorted(own, key=lambda pair: -pair[0].length))


def weight_of(task: WeighedTask, face: int) -> Fraction | None:
    """Pounds of stock with a face of `face` square ticks; None where no density was sent (19.5)."""
    product = task.product
    if product.density is None:
        return None
    task.rules.note_density(density(product.density, task.unit))
    cubic_feet = Fraction(face * product.thickness, FOOT**3)
    return Fraction(cubic_feet * product.density)


def close_books(
    made: Supplied, ledger: Ledger, width: int | None, extra: Mapping[str, int]
) -> None:
    """Enter what is bought beyond the plan, close the ledger against the order, keep its rows.

    `width` is that of the stock where it is booked by area, None where by length; `extra` the
    length beyond the plan by account, in ticks.
    """
    each = 1 if width is None else 2 * width
    ledger.enter("owned", -each * made.owned_length)
    for account in ("cull", "spare", "surplus"):
        ledger.enter(account, each * extra[account])
    total = sum((row.length or 0) * row.bought.buy for row in made.order)
    close_ledger(made, ledger, each * total, width)


def close_ledger(made: Supplied, ledger: Ledger, bought: int, width: int | None = None) -> None:
    """Close the ledger against all that is `bought`, in the unit of its measure; keep its rows.

    `width` turns an area into length of stock. Raises LawBroken where the ledger does not close.
    """
    ledger.close(bought)
    made.booked = bought
    made.ledger = tuple(
        LedgerRow(
            product=made.product,
            account=account,
            measure=ledger.measure,
            amount=amount,
            width=width,
        )
        for account, amount in ledger.entries()
    )
    made.shares = tuple(
        LedgerShareRow(
            surface=surface,
            product=made.product,
            account=account,
            measure=ledger.measure,
            amount=amount,
            width=width,
        )
        for surface, account, amount in ledger.shares()
    )


def flat_beside(
    task: StockTask, made: Supplied, drawn: int, goods: Literal["sheets", "rolls"]
) -> ComparedRow:
    """The flat percentage on the drawn area, in whole pieces of the longest length (10.3).

    What is used of the caller's own stock need not be ordered by it either.

    The area is in half square ticks; `goods` names what is counted ('sheets').
    """
    percent = task.rules.flat_pct
    longest = max(stock.length for stock in task.product.stock)
    flat = Fraction(drawn, 2 * task.product.laid_width * longest) * (1 + Fraction(percent) / 100)
    flat = max(Fraction(0), flat - Fraction(made.owned_length, longest))
    return ComparedRow(
        product=made.product,
        flat_pct=float(percent),
        would_order=ceiling(flat),
        bought=sum(row.bought.buy for row in made.order),
        measured_in=goods,
    )


def _note_allowances(task: StockTask, said: Remarks) -> None:
    """Zero allowances are said, never silent (10.1, 10.2)."""
    if task.rules.silent_of_culls:
        said.find(Finding("no-cull", task.product.id, "no allowance for bad stock: "
                          "add a `cull` for the grade in hand", rule="10.1"))  # fmt: skip
    if task.rules.silent_of_spares:
        said.find(Finding("no-spare", task.product.id, "the order has no spares: set `spare`",
                          rule="10.2"))  # fmt: skip
