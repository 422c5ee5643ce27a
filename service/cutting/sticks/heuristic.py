"""A first plan without any solver: longest piece first into the stick that it fills best."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from service.cutting.records import Need, Stick, Stock, ordered

FEW_PIECES = 40
PLENTY = 1_000_000


@dataclass(slots=True)
class _Open:
    """A stick that is being filled."""

    number: int
    stock: Stock
    used: int = 0
    pieces: Counter[Need] = field(default_factory=Counter)

    def rest(self, need: Need, kerf: int) -> int:
        """Length left after `need` too; negative if it cannot go in."""
        if not self._ends_allow(need):
            return -1
        room = self.stock.usable
        if self.stock.reach > room:
            self.pieces[need] += 1
            room = self.stock.room(self.pieces)
            self._take_out(need)
        return room - self.used - need.length - (kerf if self.pieces else 0)

    def _take_out(self, need: Need) -> None:
        self.pieces[need] -= 1
        if not self.pieces[need]:
            del self.pieces[need]

    def _ends_allow(self, need: Need) -> bool:
        if need.low_factory and need.high_factory:
            return not self.pieces and need.length == self.stock.usable
        if any(one.low_factory and one.high_factory for one in self.pieces):
            return False
        low = need.low_factory and any(one.low_factory for one in self.pieces)
        high = need.high_factory and any(one.high_factory for one in self.pieces)
        return not (low or high)

    def add(self, need: Need, kerf: int) -> None:
        """Put `need` in; the caller has seen that it fits."""
        self.used += need.length + (kerf if self.pieces else 0)
        self.pieces[need] += 1

    @property
    def left(self) -> int:
        """The most that another piece and its cut could take."""
        return self.stock.reach - self.used


def best_fit(
    stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int
) -> tuple[Stick, ...] | None:
    """The cheapest of several best-fit plans, or None if the supply does not reach.

    Many pieces get one plan only: there, patterns do better anyway.
    """
    few = sum(needs.values()) <= FEW_PIECES or any(s.supply is not None for s in stocks)
    openers = [None, *range(len(stocks))] if few else [None]
    plans = [_filled(stocks, needs, kerf, opener) for opener in openers]
    whole = [plan for plan in plans if plan is not None]
    return min(whole, key=lambda plan: (cost_of(plan, stocks), len(plan)), default=None)


def cost_of(sticks: Sequence[Stick], stocks: Sequence[Stock]) -> int:
    """What `sticks` cost together."""
    return sum(stocks[stick.stock].cost for stick in sticks)


def _filled(
    stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int, opener: int | None
) -> tuple[Stick, ...] | None:
    """Best fit, longest first; new sticks are of stock `opener`, or the cheapest per length."""
    left = supplies(stocks)
    bins: list[_Open] = []
    room: list[tuple[int, int]] = []
    for need in sorted(needs, key=lambda n: (-n.length, n)):
        for _ in range(needs[need]):
            place = _best_place(bins, room, need, kerf)
            if place is None:
                one = _opened(stocks, need, left, opener)
                if one is None:
                    return None
                bins.append(one)
                number = len(bins) - 1
            else:
                number = room.pop(place)[1]
            bins[number].add(need, kerf)
            insort(room, (bins[number].left, number))
    if any(stock.supply is not None for stock in stocks):
        return tuple(_shrunk(one, stocks, left, kerf) for one in bins)
    keys = [(one.number, tuple(one.pieces.items())) for one in bins]
    kept = dict(zip(keys, bins, strict=True))
    made = {key: _shrunk(one, stocks, left, kerf) for key, one in kept.items()}
    return tuple(made[key] for key in keys)


def _best_place(
    bins: list[_Open], room: list[tuple[int, int]], need: Need, kerf: int
) -> int | None:
    """Where in `room` (ascending) the stick stands that `need` fills best, or None."""
    for place in range(bisect_left(room, (need.length + kerf, -1)), len(room)):
        if bins[room[place][1]].rest(need, kerf) >= 0:
            return place
    return None


def _opened(
    stocks: Sequence[Stock], need: Need, left: Counter[int], opener: int | None
) -> _Open | None:
    """A new stick that takes `need`, of the wished stock if it can be."""
    whole = need.low_factory and need.high_factory
    able = [
        k
        for k, stock in enumerate(stocks)
        if stock.holds(need) and left[k] > 0 and (not whole or stock.usable == need.length)
    ]
    if not able:
        return None
    if opener in able:
        chosen = opener
    else:
        chosen = min(able, key=lambda k: (stocks[k].cost / max(stocks[k].usable, 1), k))
    assert chosen is not None
    left[chosen] -= 1
    return _Open(chosen, stocks[chosen])


def _shrunk(one: _Open, stocks: Sequence[Stock], left: Counter[int], kerf: int) -> Stick:
    """The same pieces in the cheapest stock that holds them."""
    return shrunk(one.number, one.pieces, stocks, left, kerf)


def shrunk(
    number: int,
    pieces: Mapping[Need, int],
    stocks: Sequence[Stock],
    left: Counter[int],
    kerf: int,
) -> Stick:
    """A stick of stock `number` as one of the cheapest stock that holds its pieces.

    `left` is how many of each stock are still there; the change is taken off it.
    """
    taken = sum((need.length + kerf) * count for need, count in pieces.items()) - kerf
    whole = any(need.low_factory and need.high_factory for need in pieces)
    best = number
    for k, stock in enumerate(stocks):
        if stock.room(pieces) < taken or left[k] < 1 or (whole and stock.usable != taken):
            continue
        if (stock.cost, stock.length, k) < (stocks[best].cost, stocks[best].length, best):
            best = k
    if best != number:
        left[best] -= 1
        left[number] += 1
    return Stick(best, ordered(pieces, stocks[best]))


def supplies(stocks: Sequence[Stock], sticks: Sequence[Stick] = ()) -> Counter[int]:
    """How many of each stock are there once `sticks` are taken; plenty where there is no limit."""
    spent = Counter(stick.stock for stick in sticks)
    return Counter(
        {k: PLENTY if s.supply is None else s.supply - spent[k] for k, s in enumerate(stocks)}
    )
