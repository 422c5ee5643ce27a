"""Where every liquid that is bought goes: on the work, lost, left over; less the caller's own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from service.ledger.book import Ledger
from service.products.bought_rows import LedgerRow, LedgerShareRow, OrderRow, OwnedRow
from service.products.liquid_rows import LiquidRow
from service.takeoff.ordering import Item, Use
from service.units.ticks import whole


@dataclass(frozen=True, slots=True)
class LiquidBooks:
    """The accounts of all liquids, and what of each falls to which surface; cubic ticks."""

    rows: tuple[LedgerRow, ...]
    shares: tuple[LedgerShareRow, ...]


def booked(
    used: Sequence[Use], pooled: Mapping[Item, Sequence[OrderRow]], owned: Sequence[OwnedRow]
) -> LiquidBooks:
    """A ledger for each liquid that is used, closed at what is bought; raises LawBroken if not."""
    liquid = [one for one in used if isinstance(one.row, LiquidRow)]
    books = [
        _book(item, [one for one in liquid if one.item == item], pooled[item], owned)
        for item in dict.fromkeys(one.item for one in liquid)
    ]
    return LiquidBooks(
        tuple(row for book in books for row in _rows(book)),
        tuple(row for book in books for row in _shares(book)),
    )


def _book(
    item: Item, uses: Sequence[Use], lines: Sequence[OrderRow], owned: Iterable[OwnedRow]
) -> Ledger:
    """The ledger of one liquid: what is used and lost by surface, what is left on its own page."""
    book = Ledger(item[0], "volume")
    for use in uses:
        page = book.of(use.surface)
        page.enter("installed", use.amount)
        page.enter("lost", int(use.amount * use.loss))
    bought = whole(sum((line.volume or 0 for line in lines), Fraction(0)))
    taken = (row.volume or 0 for row in owned if row.product == item[0])
    own = whole(sum(taken, Fraction(0)))
    gone = sum(amount for _, amount in book.entries())
    book.enter("surplus", bought + own - gone)
    book.enter("owned", -own)
    book.close(bought)
    return book


def _rows(book: Ledger) -> Iterable[LedgerRow]:
    for account, amount in book.entries():
        if amount:
            yield LedgerRow(
                product=book.product, account=account, measure=book.measure, amount=amount
            )


def _shares(book: Ledger) -> Iterable[LedgerShareRow]:
    for surface, account, amount in book.shares():
        yield LedgerShareRow(
            surface=surface,
            product=book.product,
            account=account,
            measure=book.measure,
            amount=amount,
        )
