"""Clips from a count to boxes, with what is lost of them."""

from __future__ import annotations

from fractions import Fraction

from service.order.packs import Pack, parted
from service.products.bought_rows import OrderRow
from service.products.goods.clip.spec import ClipProduct
from service.products.rulings import DrivingRulings
from service.units.ticks import ceiling


def loss(spec: ClipProduct, rules: DrivingRulings) -> Fraction:
    """The share of a layer's clips that is lost: they are set by hand (18.12)."""
    return rules.loss_hand / 100


def packed(
    spec: ClipProduct, length: int | None, amount: int, with_loss: Fraction
) -> tuple[OrderRow, ...]:
    """The lines of the order for so many, and so many with what is lost (19.1, 19.3)."""
    packs = [Pack(one.count, one.price) for one in spec.packs]
    return tuple(
        OrderRow(
            product=spec.id,
            form=spec.form,
            size=None,
            written=spec.called,
            length=None,
            bought=line,
            price=None if one.price is None else float(one.price * line.packages),
            weight=None,
            pack=one.of or "box",
            holds=one.count,
        )
        for number, line in parted(amount, ceiling(with_loss), packs)
        for one in (spec.packs[number],)
    )
