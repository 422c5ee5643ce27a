"""Tape from a length to whole rolls, with what is lost of it."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from service.order.lines import Bought
from service.products.bought_rows import OrderRow
from service.products.goods.tape.spec import TapeProduct
from service.units.ticks import ceiling
from service.units.writing import roll_size


def packed(spec: TapeProduct, length: int | None, amount: int, with_loss: Fraction) -> OrderRow:
    """The line of the order for so much length (ticks), and so much with what is lost (20.6)."""
    need = -(-amount // spec.length)
    buy = max(need, ceiling(with_loss / spec.length))
    price = None if spec.price is None else float(spec.price * buy)
    line = Bought(need, 0, 0, buy - need, buy, buy, 1)
    return OrderRow(
        product=spec.id,
        form=spec.form,
        size=partial(roll_size, spec.width, spec.length),
        written=spec.called,
        length=spec.length,
        bought=line,
        price=price,
        weight=None,
        width=spec.width,
    )
