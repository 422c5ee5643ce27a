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

    Many pieces get one plan only: there, patterns do better anyway. So do pieces of which no stick
    holds two, for each then lies in the cheapest stick that holds it, whichever was opened.
    """
    limited = any(stock.supply is not None for stock in stocks)
    if not limited and _lie_alone(stocks, needs, kerf):
        return _one_by_one(stocks, needs, kerf)
    few = sum(needs.values()) <= FEW_PIECES or limited
    openers = [None, *range(len(stocks))] if few else [None]
    plans = [_filled(stocks, needs, kerf, opener) for opener in openers]
    whole = [plan for plan in plans if plan is not None]
    return min(whole, key=lambda plan: (cost_of(plan, stocks), len(plan)), default=None)


def _lie_alone(stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int) -> bool:
    """Whether no stick holds two of the pieces."""
    shortest = min((need.length for need in needs), default=0)
    return 2 * shortest + kerf > max((stock.reach for stock in stocks), default=0)


def _one_by_one(
    stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int
) -> tuple[Stick, ...] | None:
    """Each piece in the cheapest stick that holds it, longest first; None where none does."""
    ranked, plenty = _ranked(stocks), supplies(stocks)
    sticks: list[Stick] = []
    for need in sorted(needs, key=lambda n: (-n.length, n)):
        first = next(iter(_wished(_able(stocks, need), stocks, None)), None)
        if first is None:
            return None
        best = _exchanged(first, {need: 1}, stocks, ranked, plenty, kerf)
        sticks += [Stick(best, (need,))] * needs[need]
    return tuple(sticks)


def cost_of(sticks: Sequence[Stick], stocks: Sequence[Stock]) -> int:
    """What `sticks` cost together."""
    return sum(stocks[stick.stock].cost for stick in sticks)


def cheaper(
    one: tuple[Stick, ...] | None, other: tuple[Stick, ...] | None, stocks: Sequence[Stock]
) -> tuple[Stick, ...] | None:
    """The one of two plans that costs less, of fewer sticks if alike; None if there is none."""
    found = [plan for plan in (one, other) if plan is not None]
    return min(found, key=lambda plan: (cost_of(plan, stocks), len(plan)), default=None)


def _filled(
    stocks: Sequence[Stock], needs: Mapping[Need, int], kerf: int, opener: int | None
) -> tuple[Stick, ...] | None:
    """Best fit, longest first; new sticks are of stock `opener`, or the cheapest per length."""
    left = supplies(stocks)
    bins: list[_Open] = []
    room: list[tuple[int, int]] = []
    for need in sorted(needs, key=lambda n: (-n.length, n)):
        able = _wished(_able(stocks, need), stocks, opener)
        for _ in range(needs[need]):
            place = _best_place(bins, room, need, kerf)
            if place is None:
                chosen = next((k for k in able if left[k] > 0), None)
                if chosen is None:
                    return None
                left[chosen] -= 1
                bins.append(_Open(chosen, stocks[chosen]))
                number = len(bins) - 1
            else:
                number = room.pop(place)[1]
            bins[number].add(need, kerf)
            insort(room, (bins[number].left, number))
    return _all_shrunk(bins, stocks, left, kerf)


def _best_place(
    bins: list[_Open], room: list[tuple[int, int]], need: Need, kerf: int
) -> int | None:
    """Where in `room` (ascending) the stick stands that `need` fills best, or None."""
    for place in range(bisect_left(room, (need.length + kerf, -1)), len(room)):
        if bins[room[place][1]].rest(need, kerf) >= 0:
            return place
    return None


def _able(stocks: Sequence[Stock], need: Need) -> list[int]:
    """The stocks of which a new stick can take `need`."""
    whole = need.low_factory and need.high_factory
    return [
        k
        for k, stock in enumerate(stocks)
        if stock.holds(need) and (not whole or stock.usable == need.length)
    ]


def _wished(able: list[int], stocks: Sequence[Stock], opener: int | None) -> list[int]:
    """The same, the one first that is to be opened, then the cheaper ones by their length."""

    def wished(k: int) -> tuple[bool, float, int]:
        return k != opener, stocks[k].cost / max(stocks[k].usable, 1), k

    return sorted(able, key=wished)


def _all_shrunk(
    bins: Sequence[_Open], stocks: Sequence[Stock], left: Counter[int], kerf: int
) -> tuple[Stick, ...]:
    """The same pieces, those of each stick in the cheapest stock that holds them."""
    ranked, plenty = _ranked(stocks), all(stock.supply is None for stock in stocks)
    made = dict[tuple[int, tuple[tuple[Need, int], ...]], Stick]()
    sticks = []
    for one in bins:
        alike = one.number, tuple(one.pieces.items())
        # What is there without limit is exchanged alike for all that hold the same.
        if alike not in made or not plenty:
            best = _exchanged(one.number, one.pieces, stocks, ranked, left, kerf)
            made[alike] = Stick(best, ordered(one.pieces, stocks[best]))
        sticks.append(made[alike])
    return tuple(sticks)


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
    best = _exchanged(number, pieces, stocks, _ranked(stocks), left, kerf)
    return Stick(best, ordered(pieces, stocks[best]))


def _ranked(stocks: Sequence[Stock]) -> list[int]:
    """The numbers of the stocks, the cheapest first, of those that cost the same the shortest."""
    return sorted(range(len(stocks)), key=lambda k: (stocks[k].cost, stocks[k].length, k))


def _exchanged(
    number: int,
    pieces: Mapping[Need, int],
    stocks: Sequence[Stock],
    ranked: Sequence[int],
    left: Counter[int],
    kerf: int,
) -> int:
    """The first of the `ranked` stocks that is there and holds the pieces, for one of `number`."""
    taken = sum((need.length + kerf) * count for need, count in pieces.items()) - kerf
    whole = any(need.low_factory and need.high_factory for need in pieces)
    for k in ranked:
        if k == number:
            break
        stock = stocks[k]
        if left[k] > 0 and (stock.usable == taken if whole else stock.room(pieces) >= taken):
            left[k] -= 1
            left[number] += 1
            return k
    return number


def supplies(stocks: Sequence[Stock], sticks: Sequence[Stick] = ()) -> Counter[int]:
    """How many of each stock are there once `sticks` are taken; plenty where there is no limit."""
    spent = Counter(stick.stock for stick in sticks)
    return Counter(
        {k: PLENTY if s.supply is None else s.supply - spent[k] for k, s in enumerate(stocks)}
    )
