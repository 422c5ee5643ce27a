"""The order of a change: what is to buy beyond what was ordered or is at hand (21.3, 21.6)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import chain
from typing import TypeAlias

from service.changes.rows import ChangeOrderRow
from service.products.bought_rows import OrderRow, OwnedRow
from service.takeoff.ordering import PRICE_PARTS
from service.takeoff.pipeline import Takeoff

Sold: TypeAlias = tuple[str, int | None, int | Fraction | None]
"""A product, its length, and what one of a size holds of what is sold in several."""


@dataclass(frozen=True, slots=True)
class AtHand:
    """So many of a product, length and size that are on the site.

    What `came` is of the first order, as it can be bought again; `whole` ones can be given back.
    What is `owned` by the job itself, and not sent with the change, is told where it is used.
    """

    item: Sold
    count: int
    came: bool = False
    whole: bool = False
    owned: bool = False


@dataclass(frozen=True, slots=True)
class Ripped:
    """So many boards that are left over and were ripped: no plan takes them."""

    product: str
    length: int | None
    width: int
    count: int


@dataclass(slots=True)
class _Lines:
    """All lines of an item in the two orders, and what is at hand of it and used."""

    was: list[OrderRow] = field(default_factory=list)
    now: list[OrderRow] = field(default_factory=list)
    own: list[OwnedRow] = field(default_factory=list)
    at_hand: int = 0
    came: int = 0
    whole: int = 0
    sent: int = 0

    @property
    def used(self) -> int:
        """What is taken of what is at hand: as planned, and what came in place of new ones."""
        planned = sum(row.used for row in self.own)
        return planned + min(_bought(self.now), max(0, self.came - planned))


def order_of(takeoff: Takeoff) -> Iterator[OrderRow]:
    """Every line of a takeoff's order."""
    return chain((row for made in takeoff.supplied for row in made.order), takeoff.bought.lines)


def owned_of(takeoff: Takeoff) -> Iterator[OwnedRow]:
    """Every line of what is taken of the caller's own."""
    return chain((row for made in takeoff.supplied for row in made.owned), takeoff.bought.owned)


def own_at_hand(after: Takeoff) -> Iterator[AtHand]:
    """What the second job itself has of the caller's own."""
    for row in owned_of(after):
        yield AtHand((row.product, row.length, row.within), row.count, owned=True)


def changed_order(
    before: Takeoff, work: Takeoff, at_hand: Sequence[AtHand], *, came: bool
) -> tuple[ChangeOrderRow, ...]:
    """The order of a change, item by item; those of which nothing changes are left out.

    `work` is what is left to do, planned with what is `at_hand` as the caller's own, or some of it.
    Where the first order `came`, or some of it, it is not counted against what is to buy: what is
    there of it is at hand, and taken in place of what would be bought.
    """
    rows = (_row(lines, came=came) for lines in _items(before, work, at_hand).values())
    return tuple(row for row in rows if row is not None)


def _items(before: Takeoff, work: Takeoff, at_hand: Sequence[AtHand]) -> Mapping[Sold, _Lines]:
    items: dict[Sold, _Lines] = defaultdict(_Lines)
    for row in order_of(before):
        items[row.product, row.length, row.holds].was.append(row)
    for row in order_of(work):
        items[row.product, row.length, row.holds].now.append(row)
    for own in owned_of(work):
        items[_named((own.product, own.length, own.within), items)].own.append(own)
    for one in at_hand:
        lines = items[_named(one.item, items)]
        lines.at_hand += one.count
        lines.came += one.count * one.came
        lines.whole += one.count * one.whole
        lines.sent += one.count * (not one.owned)
    return items


def _named(item: Sold, items: Iterable[Sold]) -> Sold:
    """The item that is meant: of what comes in one length, as tape, none is sent.

    Of what is sold in packs of several sizes it is the first, the largest.
    """
    product, length, holds = item
    alike = (
        one for one in items
        if one[0] == product and length in (None, one[1]) and holds in (None, one[2])
    )  # fmt: skip
    return next(alike, item)


def _row(lines: _Lines, *, came: bool) -> ChangeOrderRow | None:
    """The row of one item, None where nothing of it is to buy, to give back, used or sent."""
    known: list[OrderRow | OwnedRow] = [*lines.now, *lines.was, *lines.own]
    shown = known[0] if known else None
    if shown is None:
        return None
    used = lines.used
    planned = sum(row.used for row in lines.own)
    was, now = _bought(lines.was), _bought(lines.now) - (used - planned)
    more, fewer = (now, _to_give_back(lines, used)) if came else _difference(was, now)
    if not (more or fewer or used or lines.sent):
        return None
    return ChangeOrderRow(
        line=shown,
        was=was,
        now=now,
        at_hand=lines.at_hand,
        used=used,
        more=more,
        packages=_packages(lines, more, came=came),
        fewer=fewer,
        price=_share(lines.now, more),
        credit=_share(lines.was, fewer),
    )


def _difference(was: int, now: int) -> tuple[int, int]:
    return max(0, now - was), max(0, was - now)


def _to_give_back(lines: _Lines, used: int) -> int:
    """Whole ones that are left, less what the first order held as its own allowance (10.1)."""
    spare = sum(row.bought.buy - row.bought.need for row in lines.was)
    left = max(0, min(lines.whole, lines.at_hand - used) - spare)
    each = max((row.bought.per_package for row in lines.was), default=1)
    return left // each * each // 1


def _bought(rows: Iterable[OrderRow]) -> int:
    return sum(row.bought.buy for row in rows)


def _packages(lines: _Lines, more: int, *, came: bool) -> int:
    now = sum(row.bought.packages for row in lines.now)
    each = max((row.bought.per_package for row in lines.now), default=1)
    if came:
        return -(-more // each)
    return max(0, now - sum(row.bought.packages for row in lines.was))


def _share(rows: Sequence[OrderRow], count: int) -> float | None:
    """What so many of an item cost, as its lines have it; None where one has no price."""
    if not count:
        return 0.0
    prices = [row.price for row in rows]
    whole = sum(round(price * PRICE_PARTS) for price in prices if price is not None)
    if not rows or None in prices:
        return None
    return round(whole * count / _bought(rows)) / PRICE_PARTS
