"""What layers use by count, length or volume, pooled into lines of the order, all shared out."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from service.order.shares import shared_out
from service.products.bought_rows import OrderRow, OrderShareRow, OwnedRow
from service.products.form import AnyCounted, CountedForm
from service.products.layer import Product
from service.products.liquid_rows import LiquidRow
from service.products.registry import forms
from service.products.rows import ConsumableRow, FastenerRow
from service.products.supplied import Supplied
from service.takeoff.job import Job, Ring, rings_of

Item = tuple[str, int | None]
"""A product and its length: what one line of the order is about."""

NO_LOSS = Fraction(0)

PRICE_PARTS = 10_000
"""Prices have at most four decimals."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """What one layer uses of an item: pieces, ticks or cubic ticks, and the share that is lost."""

    item: Item
    row: FastenerRow | ConsumableRow | LiquidRow | Ring
    amount: int
    loss: Fraction

    @property
    def surface(self) -> str:
        """The surface of the layer that uses it."""
        return self.row.surface


def uses(
    job: Job,
    consumables: Sequence[ConsumableRow],
    fasteners: Sequence[FastenerRow],
    liquids: Sequence[LiquidRow],
) -> tuple[Use, ...]:
    """Fasteners, tape and liquids, each with its layer's loss (18.12, 20.4, 20.6), and rings."""
    return (
        *_driven(job, fasteners),
        *_by_length(consumables),
        *_by_volume(liquids),
        *_rings(job),
    )


def _driven(job: Job, fasteners: Sequence[FastenerRow]) -> Iterator[Use]:
    books = {(one.task.surface.id, one.task.layer_id): one.task.rules for one in job.layers}
    for row in fasteners:
        if row.product is not None:
            spec, form = _counted(job, row.product)
            assert form.loss is not None, f"{spec.form} does not say what is lost of it"
            yield Use(
                item=(row.product, row.reach.length if row.reach else None),
                row=row,
                amount=row.count,
                loss=form.loss(spec, books[row.surface, row.layer]),
            )


def _counted(job: Job, product: str) -> tuple[Product, AnyCounted]:
    """A product that layers count or measure themselves, and its form."""
    spec, _ = job.products[product]
    form = forms()[spec.form]
    assert isinstance(form, CountedForm), f"{spec.form} is planned, not counted"
    return spec, form


def _rings(job: Job) -> Iterator[Use]:
    """The ring of each opening that has one, but for those that are up already (5.1)."""
    there = frozenset() if job.framed is None else job.framed.rings
    for surface in job.surfaces:
        for ring in rings_of(surface):
            if ring not in there:
                yield Use(item=(ring.product, None), row=ring, amount=1, loss=NO_LOSS)


def _by_length(consumables: Sequence[ConsumableRow]) -> Iterator[Use]:
    for row in consumables:
        if row.product is not None:
            yield Use(item=(row.product, None), row=row, amount=row.length, loss=row.loss)


def _by_volume(liquids: Sequence[LiquidRow]) -> Iterator[Use]:
    for row in liquids:
        yield Use(item=(row.product, None), row=row, amount=row.cubic_ticks, loss=row.loss)


def pooled_order(
    job: Job, used: Sequence[Use]
) -> tuple[dict[Item, tuple[OrderRow, ...]], tuple[OwnedRow, ...]]:
    """Each item summed over all surfaces, then packed once by its form (19.1, 19.2).

    Also what is taken of the caller's own; an item of which that is enough is no line.
    """
    amounts: Counter[Item] = Counter()
    with_loss: dict[Item, Fraction] = defaultdict(Fraction)
    for one in used:
        amounts[one.item] += one.amount
        with_loss[one.item] += one.amount * (1 + one.loss)
    lines, own = dict[Item, tuple[OrderRow, ...]](), list[OwnedRow]()
    for item, amount in amounts.items():
        product, length = item
        spec, form = _counted(job, product)
        packed = form.packed(spec, length, amount, with_loss[item])
        taken = form.owned(spec, length, with_loss[item]) if form.owned else ()
        own += taken
        lines[item] = tuple(line for line in packed if line.bought.buy or not taken)
    return lines, tuple(own)


def order_shares(
    supplied: Sequence[Supplied], used: Sequence[Use], pooled: Mapping[Item, Sequence[OrderRow]]
) -> tuple[OrderShareRow, ...]:
    """Every line of the order by surface, in proportion to what each takes; they add up (19.2).

    Stock is shared by what of its ledger each takes, fasteners by their count, tape by its length,
    liquids by their volume.
    """
    found: list[OrderShareRow] = []
    for made in supplied:
        taken = _summed((row.surface, row.amount) for row in made.shares)
        for line in made.order:
            found += _shared(line, taken)
    by_item: dict[Item, Counter[str]] = defaultdict(Counter)
    for one in used:
        by_item[one.item][one.surface] += one.amount
    for item, lines in pooled.items():
        for line in lines:
            found += _shared(line, by_item[item])
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
