"""Strips from rolls: cut whole, or one after another with an end lap where a roll runs out.

All lengths are ticks. A plan has its cost, and a bound that no plan can be under.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.cutting.records import Need, Stock
from service.cutting.solve import Effort, material_bound, solve


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
    """The cheapest plan, then the one with the fewest laps; None if the supply does not reach."""
    if not strips:
        return RollPlan((), (), 0, 0, 0)
    bound = _bound(strips, stocks, laps)
    found = [
        plan for plan in (_whole(strips, stocks, effort), *_runs(strips, stocks, laps)) if plan
    ]
    if not found:
        return None
    pieces, rolls = min(found, key=lambda plan: (_cost(plan[1], stocks), len(plan[0])))
    return RollPlan(pieces, rolls, _cost(rolls, stocks), bound, len(found))


Made = tuple[tuple[RollPiece, ...], tuple[int, ...]]


def _cost(rolls: Sequence[int], stocks: Sequence[Stock]) -> int:
    return sum(stocks[number].cost for number in rolls)


def _bound(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps) -> int:
    """What the bare length must cost, with the laps that strips over one roll cannot do without."""
    longest = max(stock.usable for stock in stocks)
    needs: Counter[Need] = Counter()
    for strip in strips:
        length = strip.high - strip.low
        splices = 0 if length <= longest else -(-(length - longest) // max(1, longest - laps.end))
        needs[Need(length + splices * laps.end)] += 1
    return material_bound(stocks, needs, 0)


def _whole(strips: Sequence[Length], stocks: Sequence[Stock], effort: Effort) -> Made | None:
    """Every strip in one piece."""
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
    return pieces, tuple(stick.stock for stick in plan.sticks)


def _runs(strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps) -> Iterator[Made]:
    """One strip after another off the same roll, from rolls of each length first."""
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
        self.rest = 0
        self.ends: dict[tuple[int, int], list[int]] = defaultdict(list)

    def all(self, strips: Sequence[Length]) -> Made | None:
        """Every strip; None where the rolls give out."""
        pieces: list[RollPiece] = []
        to_come = sum(strip.high - strip.low for strip in strips)
        for k, strip in enumerate(strips):
            at = strip.low
            while at < strip.high:
                if not self._ready(strip.high - at) and not self._open(to_come):
                    return None
                end = self._end(strip, at)
                pieces.append(RollPiece(k, len(self.rolls) - 1, at, end))
                to_come -= end - at
                if end == strip.high:
                    self.rest -= end - at
                    break
                self.rest = 0
                self.ends[strip.row].append(end)
                at = end - self.laps.end
        return tuple(pieces), tuple(self.rolls)

    def _ready(self, wanted: int) -> bool:
        """Whether the open roll can go on: it holds all that is wanted, or a rest worth a lap."""
        least = max(self.laps.reuse, self.laps.end + 1)
        return self.rest >= wanted or (self.rest >= least and wanted - self.rest > 0)

    def _open(self, to_come: int) -> bool:
        """Open a roll: the last one the cheapest that holds what is still to come."""
        used = Counter(self.rolls)
        able = [
            n
            for n in self.preferred
            if (supply := self.stocks[n].supply) is None or used[n] < supply
        ]
        if not able:
            return False
        last = [n for n in able if self.stocks[n].usable >= to_come]
        number = min(last, key=lambda n: self.stocks[n].cost) if last else able[0]
        self.rolls.append(number)
        self.rest = self.stocks[number].usable
        return True

    def _end(self, strip: Length, at: int) -> int:
        """Where the piece that begins at `at` ends, its lap away from those of the row before.

        What is left of the strip is never shorter than two laps.
        """
        if strip.high - at <= self.rest:
            return strip.high
        end = min(at + self.rest, strip.high - self.laps.end)
        before = self.ends[strip.row[0], strip.row[1] - 1]
        for other in sorted(before, reverse=True):
            if abs(end - other) < self.laps.offset:
                end = other - self.laps.offset
        return max(end, at + self.laps.end + 1)
