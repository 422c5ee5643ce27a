"""Pieces from a count to packs: none is lost (19.1)."""

from __future__ import annotations

from fractions import Fraction

from service.order.lines import bought
from service.products.bought_rows import OrderRow
from service.products.goods.piece_goods.spec import PieceGoodsProduct


def packed(
    spec: PieceGoodsProduct, length: int | None, amount: int, with_loss: Fraction
) -> tuple[OrderRow, ...]:
    """The line of the order for so many."""
    line = bought(amount, per_package=spec.per_pack or 1)
    row = OrderRow(
        product=spec.id,
        form=spec.form,
        size=None,
        written=spec.called,
        length=None,
        bought=line,
        price=None if spec.price is None else float(spec.price * line.packages),
        weight=None,
    )
    return (row,)
