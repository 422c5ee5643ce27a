"""Fasteners from a count to boxes and packs, with what is lost of them."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from service.order.lines import bought
from service.products.bought_rows import OrderRow
from service.products.goods.fastener.spec import FastenerProduct
from service.products.rulings import DrivingRulings
from service.units.writing import size


def loss(spec: FastenerProduct, rules: DrivingRulings) -> Fraction:
    """The share of a layer's fasteners that is lost, by how they are driven (18.12)."""
    return (rules.loss_collated if spec.feed == "collated" else rules.loss_hand) / 100


def packed(spec: FastenerProduct, length: int | None, amount: int, with_loss: Fraction) -> OrderRow:
    """The line of the order for so many of one length, and so many with what is lost (19.1)."""
    per = _per_package(spec)
    share = with_loss / amount - 1 if amount else Fraction(0)
    line = bought(amount, loss=share, per_package=1 if per is None else per)
    price = None if spec.price is None or per is None else float(spec.price * line.packages)
    weight = None
    if spec.per_pound is not None:
        pieces = line.buy if per is None else line.packages * per
        weight = Fraction(pieces) / Fraction(spec.per_pound)
    return OrderRow(
        product=spec.id,
        form=spec.form,
        size=None if length is None else partial(size, length),
        written=spec.called,
        length=length,
        bought=line,
        price=price,
        weight=weight,
    )


def _per_package(spec: FastenerProduct) -> Fraction | None:
    """Pieces in what is sold, exact: a box as printed, or a pack by weight; None if loose."""
    if spec.per_box is not None:
        return Fraction(spec.per_box)
    if spec.per_pound is not None and spec.pounds is not None:
        return Fraction(spec.per_pound * spec.pounds)
    return None
