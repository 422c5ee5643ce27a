"""Fasteners from a count to boxes and packs, with what is lost of them."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from service.order.lines import Bought, bought
from service.products.bought_rows import OrderRow, OwnedRow
from service.products.goods.fastener.spec import FastenerProduct
from service.products.rulings import DrivingRulings
from service.units.ticks import ceiling
from service.units.writing import size


def loss(spec: FastenerProduct, rules: DrivingRulings) -> Fraction:
    """The share of a layer's fasteners that is lost, by how they are driven (18.12)."""
    return (rules.loss_collated if spec.feed == "collated" else rules.loss_hand) / 100


def packed(spec: FastenerProduct, length: int | None, amount: int, with_loss: Fraction) -> OrderRow:
    """The line of the order for so many of one length, and so many with what is lost (19.1).

    What is owned is taken first.
    """
    per = _per_package(spec)
    line = _line(amount, with_loss, _used(spec, length, with_loss), 1 if per is None else per)
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


def owned_of(spec: FastenerProduct, length: int | None, with_loss: Fraction) -> OwnedRow | None:
    """What is taken of the caller's own of one length; None where there are none."""
    count = _owned(spec, length)
    if length is None or not count:
        return None
    return OwnedRow(
        product=spec.id,
        size=partial(size, length),
        written=spec.called,
        length=length,
        count=count,
        used=_used(spec, length, with_loss),
    )


def _line(amount: int, with_loss: Fraction, used: int, per: int | Fraction) -> Bought:
    if not used:
        return bought(
            amount, loss=with_loss / amount - 1 if amount else Fraction(0), per_package=per
        )
    need, still = max(0, amount - used), ceiling(with_loss) - used
    packages = -(-still // per)
    return Bought(need, 0, 0, still - need, packages * per // 1, packages, per)


def _owned(spec: FastenerProduct, length: int | None) -> int:
    return sum(one.count for one in spec.owned or () if one.length == length)


def _used(spec: FastenerProduct, length: int | None, with_loss: Fraction) -> int:
    return min(_owned(spec, length), ceiling(with_loss))


def _per_package(spec: FastenerProduct) -> Fraction | None:
    """Pieces in what is sold, exact: a box as printed, or a pack by weight; None if loose."""
    if spec.per_box is not None:
        return Fraction(spec.per_box)
    if spec.per_pound is not None and spec.pounds is not None:
        return Fraction(spec.per_pound * spec.pounds)
    return None
