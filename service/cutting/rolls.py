"""Strips from rolls: cut whole, or one after another with an end lap where a roll runs out.

All lengths are ticks. A plan has its cost, and a bound that no plan can be under.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.cutting.effort import Effort
from service.cutting.mixes import Good, least_mix
from service.cutting.records import Need, Stock
from service.cutting.sticks.solve import solve
from service.units.ticks import INCH

LEAST_ADVANCE = INCH
"""What a piece of a spliced strip adds to it, at least, beyond its lap."""


@dataclass(frozen=True, slots=True)
class Length:
    """A length of roll that is wanted: `low` to `high`, in `row`; neighbours are a row apart."""

    row: tuple[int, int]
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Laps:
    """`end` is how far pieces of one strip lap; in neighbouring rows laps keep `offset` apart.

    A rest shorter than `reuse` starts nothing.
    """

    end: int
    offset: int
    reuse: int


@dataclass(frozen=True, slots=True)
class RollPiece:
    """A piece of strip number `strip`, from `low` to `high`, off roll number `roll`."""

    strip: int
    roll: int
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class RollPlan:
    """Pieces in the order of their strips, and the stock number of each roll."""

    pieces: tuple[RollPiece, ...]
    rolls: tuple[int, ...]
    cost: int
    bound: int
    work: int


def roll_out(
    strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, effort: Effort
) -> RollPlan | None:
    """The cheapest plan, then the one with the fewest laps; None if no rolls do."""
    if not strips:
        return RollPlan((), (), 0, 0, 0)
    whole = _whole(strips, stocks, effort)
    found = [*([whole[0]] if whole else []), *_runs(strips, stocks, laps)]
    if not found:
        return None
    pieces, rolls = min(found, key=lambda plan: (_cost(plan[1], stocks), len(plan[0])))
    bound = _bound(strips, stocks, laps, whole[1] if whole else None)
    return RollPlan(pieces, rolls, _cost(rolls, stocks), bound, len(found))


Made = tuple[tuple[RollPiece, ...], tuple[int, ...]]


def _cost(rolls: Sequence[int], stocks: Sequence[Stock]) -> int:
    return sum(stocks[number].cost for number in rolls)


def least_of(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, effort: Effort) -> int:
    """What these strips must cost at least; 0 where no rolls do."""
    whole = _whole(strips, stocks, effort) if strips else None
    return _bound(strips, stocks, laps, whole[1] if whole else None) if strips else 0


def _bound(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, uncut: int | None) -> int:
    """The cheapest whole rolls with length enough, and for the laps that must be.

    `uncut` is the least cost with every strip in one piece: what is cheaper has one lap or more.
    """
    bare = bare_least(strips, stocks, laps)
    return bare if uncut is None else max(bare, min(uncut, bare_least(strips, stocks, laps, 1)))


def bare_least(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, more: int = 0) -> int:
    """The cheapest whole rolls with length enough, `more` laps over those that must be."""
    rolls = [Good(stock.cost, stock.usable, stock.supply) for stock in stocks]
    return least_mix(rolls, length_needed(strips, stocks, laps) + more * laps.end)


def length_needed(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps) -> int:
    """Length of roll that strips take, with the laps that must be."""
    return sum(_least_length(strip, stocks, laps) for strip in strips)


def _least_length(strip: Length, stocks: Sequence[Stock], laps: Laps) -> int:
    """What a strip takes of rolls, with the laps that one over the longest roll must have."""
    length, longest = strip.high - strip.low, max(stock.usable for stock in stocks)
    splices = 0 if length <= longest else -(-(length - longest) // max(1, longest - laps.end))
    return length + splices * laps.end


def _whole(
    strips: Sequence[Length], stocks: Sequence[Stock], effort: Effort
) -> tuple[Made, int] | None:
    """Every strip in one piece; and what that must cost at least."""
    if any(strip.high - strip.low > max(s.usable for s in stocks) for strip in strips):
        return None
    needs = Counter(Need(strip.high - strip.low) for strip in strips)
    plan = solve(stocks, needs, 0, effort)
    if plan is None:
        return None
    waiting: dict[int, deque[int]] = defaultdict(deque)
    for k, strip in enumerate(strips):
        waiting[strip.high - strip.low].append(k)
    roll_of = {
        waiting[need.length].popleft(): number
        for number, stick in enumerate(plan.sticks)
        for need in stick.pieces
    }
    pieces = tuple(
        RollPiece(k, roll_of[k], strip.low, strip.high) for k, strip in enumerate(strips)
    )
    return (pieces, tuple(stick.stock for stick in plan.sticks)), plan.bound


def _runs(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps) -> Iterator[Made]:
    """One strip after another off the same roll, from rolls of each length first.

    Also without what is owned, so that to own more makes no plan dearer.
    """
    bought = [replace(stock, supply=0) if stock.owned else stock for stock in stocks]
    for some in (stocks, bought) if bought != list(stocks) else (stocks,):
        yield from _unrolled(strips, some, laps)


def _unrolled(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps) -> Iterator[Made]:
    order = sorted(range(len(stocks)), key=lambda n: (stocks[n].cost, -stocks[n].usable))
    for first in range(len(stocks)):
        preferred = [first, *(number for number in order if number != first)]
        made = _Unrolling(stocks, laps, preferred).all(strips)
        if made is not None:
            yield made


class _Unrolling:
    """Rolls opened one by one, each run out before the next is begun."""

    def __init__(self, stocks: Sequence[Stock], laps: Laps, preferred: Sequence[int]) -> None:
        self.stocks = stocks
        self.laps = laps
        self.preferred = preferred
        self.rolls: list[int] = []
        self.used: Counter[int] = Counter()
        self.rest = 0
        self.ends: dict[tuple[int, int], list[int]] = defaultdict(list)

    def all(self, strips: Sequence[Length]) -> Made | None:
        """Every strip; None where the rolls give out, or are too short for their laps."""
        pieces: list[RollPiece] = []
        to_come = sum(strip.high - strip.low for strip in strips)
        for k, strip in enumerate(strips):
            at = strip.low
            while at < strip.high:
                end = self._end(strip, at)
                if end is None and self._open(to_come):
                    end = self._end(strip, at)
                if end is None:
                    return None
                pieces.append(RollPiece(k, len(self.rolls) - 1, at, end))
                to_come -= end - at
                if end == strip.high:
                    self.rest -= end - at
                    break
                self.rest = 0
                self.ends[strip.row].append(end)
                at = end - self.laps.end
        return tuple(pieces), tuple(self.rolls)

    def _open(self, to_come: int) -> bool:
        """Open a roll: the last one the cheapest that holds what is still to come."""
        able = [
            n
            for n in self.preferred
            if (supply := self.stocks[n].supply) is None or self.used[n] < supply
        ]
        if not able:
            return False
        last = [n for n in able if self.stocks[n].usable >= to_come]
        number = min(last, key=lambda n: self.stocks[n].cost) if last else able[0]
        self.rolls.append(number)
        self.used[number] += 1
        self.rest = self.stocks[number].usable
        return True

    def _end(self, strip: Length, at: int) -> int | None:
        """Where the piece that begins at `at` ends; None where the open roll serves no more.

        It serves if it holds all that is wanted, or is worth a lap: a whole roll of two laps or
        more, or a rest of `reuse`.
        """
        if self.rest >= strip.high - at:
            return strip.high
        if not self.rolls:
            return None
        fresh = self.rest == self.stocks[self.rolls[-1]].usable
        least = 2 * self.laps.end if fresh else max(self.laps.reuse, self.laps.end + 1)
        return self._farthest(strip, at) if self.rest >= least else None

    def _farthest(self, strip: Length, at: int) -> int | None:
        """The farthest end of a piece whose lap lies away from those of the row before, if any.

        What is left of the strip is never shorter than two laps, and each piece goes on by
        `LEAST_ADVANCE` or more.
        """
        limit = min(at + self.rest, strip.high - self.laps.end)
        least = at + self.laps.end + LEAST_ADVANCE
        offset = self.laps.offset
        before = [
            other
            for other in self.ends[strip.row[0], strip.row[1] - 1]
            if least - offset < other < limit + offset
        ]
        tried = [limit, *(other - offset for other in before)]
        return max(
            (
                end
                for end in tried
                if least <= end <= limit and all(abs(end - other) >= offset for other in before)
            ),
            default=None,
        )
