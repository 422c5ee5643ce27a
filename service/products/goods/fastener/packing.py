"""Fasteners from a count to boxes and packs, with what is lost of them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from service.order.lines import Bought
from service.order.packs import Pack, parted
from service.products.bought_rows import OrderRow, OwnedRow
from service.products.goods.fastener.spec import FastenerPack, FastenerProduct
from service.products.rulings import DrivingRulings
from service.units.ticks import ceiling
from service.units.writing import size as written_size


def loss(spec: FastenerProduct, rules: DrivingRulings) -> Fraction:
    """The share of a layer's fasteners that is lost, by how they are driven (18.12)."""
    return (rules.loss_collated if spec.feed == "collated" else rules.loss_hand) / 100


@dataclass(frozen=True, slots=True)
class _Size:
    """One size in which they are sold: pieces in it, its price, and what it is called."""

    holds: int | Fraction
    price: Fraction | None
    called: str | None
    several: bool


def packed(
    spec: FastenerProduct, length: int | None, amount: int, with_loss: Fraction
) -> tuple[OrderRow, ...]:
    """The lines of the order for so many of one length, and so many with what is lost (19.1, 19.3).

    What is owned is taken first. One line for each size that is bought, the largest first; where
    nothing is bought one line that says so.
    """
    used = _used(spec, length, with_loss)
    need, still = max(0, amount - used), ceiling(with_loss) - used
    sizes = _sizes(spec, length)
    lines = parted(need, still, [Pack(size.holds, size.price) for size in sizes])
    return tuple(_row(spec, length, sizes[number], line) for number, line in lines)


def _row(spec: FastenerProduct, length: int | None, size: _Size, line: Bought) -> OrderRow:
    pieces = line.packages * size.holds
    pound = _by_pound(spec, length)
    return OrderRow(
        product=spec.id,
        form=spec.form,
        size=None if length is None else partial(written_size, length),
        written=spec.called,
        length=length,
        bought=line,
        price=None if size.price is None else float(size.price * line.packages),
        weight=None if pound is None else Fraction(pieces) / pound,
        pack=size.called,
        holds=size.holds if size.several else None,
    )


def _sizes(spec: FastenerProduct, length: int | None) -> list[_Size]:
    """All sizes in which they are sold; pieces one by one, without a price, where none is told."""
    if spec.packs:
        return [
            _Size(_held(spec, length, one), one.price, one.of or "box", several=True)
            for one in spec.packs
        ]
    per = _per_package(spec, length)
    price = None if per is None else spec.price
    return [_Size(1 if per is None else per, price, None, several=False)]


def _held(spec: FastenerProduct, length: int | None, one: FastenerPack) -> int | Fraction:
    """Pieces in a pack of a list, exact."""
    if one.count is not None:
        return one.count
    pound = _by_pound(spec, length)
    assert pound is not None, "a pack by weight has a count by the pound"
    assert one.pounds is not None, "a pack has a count or a weight"
    return Fraction(pound * one.pounds)


def _by_pound(spec: FastenerProduct, length: int | None) -> Fraction | None:
    """Pieces of one length in a pound; of a length that nobody chose, of the longest."""
    return spec.by_pound(max(spec.lengths) if length is None else length)


def owned_of(
    spec: FastenerProduct, length: int | None, with_loss: Fraction
) -> tuple[OwnedRow, ...]:
    """What is taken of the caller's own of one length; nothing where there are none."""
    count = _owned(spec, length)
    if length is None or not count:
        return ()
    own = OwnedRow(
        product=spec.id,
        size=partial(written_size, length),
        written=spec.called,
        length=length,
        count=count,
        used=_used(spec, length, with_loss),
    )
    return (own,)


def _owned(spec: FastenerProduct, length: int | None) -> int:
    return sum(one.count for one in spec.owned or () if one.length == length)


def _used(spec: FastenerProduct, length: int | None, with_loss: Fraction) -> int:
    return min(_owned(spec, length), ceiling(with_loss))


def _per_package(spec: FastenerProduct, length: int | None) -> Fraction | None:
    """Pieces in what is sold, exact: a box as printed, or a pack by weight; None if loose."""
    if spec.per_box is not None:
        return Fraction(spec.per_box)
    pound = _by_pound(spec, length)
    if pound is not None and spec.pounds is not None:
        return Fraction(pound * spec.pounds)
    return None
