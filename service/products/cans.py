"""Liquids from a volume to cans and tubes: the best mix of the sizes in which they are sold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Protocol

from service.order.lines import Bought
from service.order.packs import Pack, best_mix
from service.products.bought_rows import OrderRow
from service.schemas.liquids import Can


class Canned(Protocol):
    """A liquid that is sold in cans or tubes."""

    @property
    def id(self) -> str:
        """Its name in the request."""

    @property
    def form(self) -> str:
        """The form of stock that it is of."""

    @property
    def called(self) -> str | None:
        """What an order calls it."""

    @property
    def packs(self) -> Sequence[Can]:
        """The sizes in which it is sold."""


def packed(
    spec: Canned, length: int | None, amount: int, with_loss: Fraction
) -> tuple[OrderRow, ...]:
    """The lines of the order for so much (cubic ticks), and so much with what is lost (19.3, 20.3).

    One line a size, the largest first. What all hold beyond what is needed with its loss is told on
    the last one.
    """
    sizes = sorted(spec.packs, key=lambda can: -can.holds.volume)
    counts = best_mix(with_loss, [Pack(can.holds.volume, can.price) for can in sizes])
    rows, still = [], amount
    for can, count in zip(sizes, counts, strict=True):
        need = min(count, max(0, -(-still // can.holds.volume)))
        still -= need * can.holds.volume
        rows += [_row(spec, can, count, need)] if count else []
    held = sum(can.holds.volume * count for can, count in zip(sizes, counts, strict=True))
    return (*rows[:-1], *(replace(row, left_volume=held - with_loss) for row in rows[-1:]))


def _row(spec: Canned, can: Can, count: int, need: int) -> OrderRow:
    """The line of one size: so many of it, of which some are there for what is lost alone."""
    return OrderRow(
        product=spec.id,
        form=spec.form,
        size=lambda unit: can.holds.written,
        written=spec.called,
        length=None,
        bought=Bought(need, 0, 0, count - need, count, count, 1),
        price=None if can.price is None else float(can.price * count),
        weight=None,
        volume=can.holds.volume * count,
        left_volume=0,
        holds=can.holds.volume,
    )
