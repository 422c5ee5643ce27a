"""Goods pooled over all surfaces into lines of the order, and every line shared back to them."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any

from service.order.lines import Bought, bought
from service.order.shares import shared_out
from service.products.kind import Supplied
from service.products.rows import FastenerRow, OrderRow, OrderShareRow
from service.takeoff.job import Job
from service.units.ticks import ceiling

Item = tuple[str, int | None]
"""A product and its length: what one line of the order is about."""

PRICE_PARTS = 10_000
"""Prices have at most four decimals."""


def pooled_order(
    job: Job, supplied: Sequence[Supplied], fasteners: Sequence[FastenerRow]
) -> tuple[OrderRow, ...]:
    """Fasteners, and what is used by length: summed over all surfaces, then packed once (19.2)."""
    return (*_fastener_lines(job, fasteners), *_consumable_lines(job, supplied))


def _fastener_lines(job: Job, fasteners: Sequence[FastenerRow]) -> Iterator[OrderRow]:
    """Each layer's count with its own loss, then one line a product and length (18.12, 19.1)."""
    books = {(one.task.surface.id, one.task.layer_id): one.task.rules for one in job.layers}
    counts: Counter[Item] = Counter()
    with_loss: dict[Item, Fraction] = defaultdict(Fraction)
    for row in fasteners:
        if row.product is not None:
            spec = job.products[row.product][0]
            key = "loss_collated" if spec.feed == "collated" else "loss_hand"
            loss = Fraction(books[row.surface, row.layer].get(key)) / 100
            counts[_item(row)] += row.count
            with_loss[_item(row)] += row.count * (1 + loss)
    for (product, length), count in counts.items():
        loss = with_loss[product, length] / count - 1
        yield _packed(job.products[product][0], length, count, loss)


def _item(row: FastenerRow) -> Item:
    return row.product or "", row.reach.length if row.reach else None


def _packed(spec: Any, length: int | None, count: int, loss: Fraction) -> OrderRow:
    per = _per_package(spec)
    line = bought(count, loss=loss, per_package=1 if per is None else per)
    price = None if spec.price is None or per is None else float(spec.price * line.packages)
    weight = None
    if spec.per_pound is not None:
        pieces = line.buy if per is None else line.packages * per
        weight = Fraction(pieces) / spec.per_pound
    return OrderRow(
        product=spec.id,
        form="fastener",
        item=spec.id,
        length=length,
        bought=line,
        price=price,
        weight=weight,
    )


def _per_package(spec: Any) -> Fraction | None:
    """Pieces in what is sold, exact: a box as printed, or a pack by weight; None if loose."""
    if spec.per_box is not None:
        return Fraction(spec.per_box)
    if spec.per_pound is not None and spec.pounds is not None:
        return Fraction(spec.per_pound * spec.pounds)
    return None


def _consumable_lines(job: Job, supplied: Sequence[Supplied]) -> Iterator[OrderRow]:
    """What is used by length, each layer with its own loss (20.6)."""
    used: Counter[str] = Counter()
    with_loss: dict[str, Fraction] = defaultdict(Fraction)
    for made in supplied:
        for row in (row for one in made.placed for row in one.consumables):
            if row.product is not None:
                used[row.product] += row.length
                with_loss[row.product] += row.length * (1 + row.loss)
    for product, length in used.items():
        yield _rolls(job.products[product][0], length, with_loss[product])


def _rolls(spec: Any, length: int, with_loss: Fraction) -> OrderRow:
    need = -(-length // spec.length)
    buy = max(need, ceiling(with_loss / spec.length))
    price = None if spec.price is None else float(spec.price * buy)
    line = Bought(need, 0, 0, buy - need, buy, buy, 1)
    return OrderRow(
        product=spec.id,
        form=spec.form,
        item=spec.id,
        length=spec.length,
        bought=line,
        price=price,
        weight=None,
        width=spec.width,
    )


def order_shares(
    supplied: Sequence[Supplied],
    fasteners: Sequence[FastenerRow],
    pooled: Sequence[OrderRow],
) -> tuple[OrderShareRow, ...]:
    """Every line of the order by surface, in proportion to what each takes; they add up (19.2).

    Stock is shared by area taken, fasteners by their count, tape by its length.
    """
    found: list[OrderShareRow] = []
    for made in supplied:
        taken = _summed((row.surface, row.half_square_ticks) for row in made.shares)
        for line in made.order:
            found += _shared(line, taken)
    used: dict[str, Counter[str]] = defaultdict(Counter)
    counted: dict[Item, Counter[str]] = defaultdict(Counter)
    for made in supplied:
        for row in (row for one in made.placed for row in one.consumables):
            used[row.product or ""][row.surface] += row.length
    for one in fasteners:
        counted[_item(one)][one.surface] += one.count
    for line in pooled:
        own = counted[line.product, line.length] if line.form == "fastener" else used[line.product]
        found += _shared(line, own)
    return tuple(found)


def _summed(pairs: Iterable[tuple[str, int]]) -> Mapping[str, int]:
    found: Counter[str] = Counter()
    for name, amount in pairs:
        found[name] += amount
    return found


def _shared(line: OrderRow, weights: Mapping[str, int]) -> Iterator[OrderShareRow]:
    parts = list(weights.values())
    prices: Sequence[float | None] = [None] * len(parts)
    if line.price is not None:
        units = shared_out(round(line.price * PRICE_PARTS), parts)
        prices = [unit / PRICE_PARTS for unit in units]
    buys = shared_out(line.bought.buy, parts)
    for surface, buy, price in zip(weights, buys, prices, strict=True):
        yield OrderShareRow(surface=surface, line=line, buy=buy, price=price)
