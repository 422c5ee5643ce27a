"""Tape from a length to whole rolls, with what is lost of it."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from service.order.lines import Bought
from service.products.bought_rows import OrderRow, OwnedRow
from service.products.goods.tape.spec import TapeProduct
from service.units.ticks import ceiling
from service.units.writing import roll_size


def packed(
    spec: TapeProduct, length: int | None, amount: int, with_loss: Fraction
) -> tuple[OrderRow, ...]:
    """The line of the order for so much length (ticks), and so much with what is lost (20.6).

    Rolls that are owned are taken first.
    """
    used = _used(spec, with_loss)
    need = max(0, -(-amount // spec.length) - used)
    buy = _rolls(spec, with_loss) - used
    price = None if spec.price is None else float(spec.price * buy)
    line = Bought(need, 0, 0, buy - need, buy, buy, 1)
    row = OrderRow(
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
    return (row,)


def owned_of(spec: TapeProduct, length: int | None, with_loss: Fraction) -> tuple[OwnedRow, ...]:
    """What is taken of the caller's own rolls for so much length; nothing where there are none."""
    if not spec.owned:
        return ()
    own = OwnedRow(
        product=spec.id,
        size=partial(roll_size, spec.width, spec.length),
        written=spec.called,
        length=spec.length,
        width=spec.width,
        count=spec.owned,
        used=_used(spec, with_loss),
    )
    return (own,)


def _rolls(spec: TapeProduct, with_loss: Fraction) -> int:
    return ceiling(with_loss / spec.length)


def _used(spec: TapeProduct, with_loss: Fraction) -> int:
    return min(spec.owned or 0, _rolls(spec, with_loss))
