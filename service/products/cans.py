"""Liquids from a volume to cans and tubes: the caller's own, then the best mix of what is sold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Protocol

from service.order.lines import Bought
from service.order.packs import Pack, best_mix
from service.products.bought_rows import OrderRow, OwnedRow
from service.schemas.liquids import Can, OwnedCan
from service.units.ticks import ceiling


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

    @property
    def owned(self) -> Sequence[OwnedCan] | None:
        """What the caller has already."""


def packed(
    spec: Canned, length: int | None, amount: int, with_loss: Fraction
) -> tuple[OrderRow, ...]:
    """The lines of the order for so much (cubic ticks), and so much with what is lost (19.3, 20.3).

    What is owned is taken first. One line a size, the largest first. What all hold beyond what is
    needed with its loss is told on the last one.
    """
    own = _taken(spec, with_loss)
    with_loss -= own
    sizes = sorted(spec.packs, key=lambda can: -can.holds.volume)
    counts = best_mix(with_loss, [Pack(can.holds.volume, can.price) for can in sizes])
    rows, still = [], max(Fraction(0), amount - own)
    for can, count in zip(sizes, counts, strict=True):
        need = min(count, max(0, -(-still // can.holds.volume)))
        still -= need * can.holds.volume
        rows += [_row(spec, can, count, need)] if count else []
    held = sum(can.holds.volume * count for can, count in zip(sizes, counts, strict=True))
    return (*rows[:-1], *(replace(row, left_volume=held - with_loss) for row in rows[-1:]))


def owned_of(spec: Canned, length: int | None, with_loss: Fraction) -> tuple[OwnedRow, ...]:
    """What is taken of the caller's own for so much (cubic ticks): opened ones first (19.1).

    Of those that are opened, and of those that are full, the least are used up first.
    """
    rows, still = [], ceiling(with_loss)
    for can in sorted(spec.owned or (), key=lambda one: (one.left is None, one.within.volume)):
        count, each = can.count or 1, can.within
        taken = min(still, count * each.volume)
        rows.append(_own(spec, can, count, taken))
        still -= taken
    return tuple(rows)


def _own(spec: Canned, can: OwnedCan, count: int, taken: int) -> OwnedRow:
    """What is taken of cans that are alike (cubic ticks)."""
    opened = "" if can.left is None else f" with {can.left.written} left"
    return OwnedRow(
        product=spec.id,
        size=lambda unit: f"{can.holds.written}{opened}",
        written=spec.called,
        length=None,
        count=count,
        used=-(-taken // max(1, can.within.volume)),
        volume=taken,
        within=can.within.volume,
    )


def _taken(spec: Canned, with_loss: Fraction) -> Fraction:
    """What of the caller's own is taken, no more than what is needed with its loss."""
    held = sum((one.count or 1) * one.within.volume for one in spec.owned or ())
    return min(Fraction(held), with_loss)


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
