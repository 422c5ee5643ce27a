"""Rolls opened one by one and run out over strips, which lap where one ends within a strip.

All lengths are ticks.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from service.cutting.records import Stock
from service.cutting.strip_order import StripOrder
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


Unrolled = tuple[tuple[RollPiece, ...], tuple[int, ...]]
"""Pieces in the order of their strips, and the stock number of each roll."""

Opening = Callable[[int], int | None]
"""The stock number of the next roll, given what is still to be covered; None if there is none."""


def by_preference(
    strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, preferred: Sequence[int]
) -> Unrolled | None:
    """One strip after another, off rolls in that order of preference as far as they reach."""
    opening = _Preferred(stocks, preferred).next
    return _Unrolling(stocks, laps, opening).all(strips, range(len(strips)))


def off_these(
    strips: Sequence[Length], stocks: Sequence[Stock], laps: Laps, counts: Sequence[int]
) -> Unrolled | None:
    """Strips off just so many rolls of each stock, in one of a few orders; None if none does.

    Rolls are opened from either end of their lengths, what is free before all else; strips come as
    they lie, the longest or the shortest first, or in the order of a search.
    """
    lengths = [strip.high - strip.low for strip in strips]
    for opened, order in _orders(lengths, stocks, laps, counts):
        made = _Unrolling(stocks, laps, _InTurn(opened).next).all(strips, order)
        if made is not None:
            return made
    return None


def _orders(
    lengths: Sequence[int], stocks: Sequence[Stock], laps: Laps, counts: Sequence[int]
) -> Iterator[tuple[list[int], Sequence[int]]]:
    """Orders in which so many rolls are opened, each with orders of the strips."""
    rolls = [n for n, count in enumerate(counts) for _ in range(count)]
    longest = sorted(rolls, key=lambda n: (stocks[n].cost > 0, -stocks[n].usable))
    shortest = sorted(rolls, key=lambda n: (stocks[n].cost > 0, stocks[n].usable))
    as_they_lie = range(len(lengths))
    by_length = sorted(as_they_lie, key=lambda k: lengths[k])
    for opened in (longest, shortest):
        usable = [stocks[n].usable for n in opened]
        searched = StripOrder(usable, laps.end, laps.reuse).of(lengths)
        for order in (as_they_lie, by_length[::-1], by_length, searched or ()):
            if order:
                yield opened, order


def off_groups(
    strips: Sequence[Length],
    stocks: Sequence[Stock],
    laps: Laps,
    groups: Sequence[tuple[Sequence[int], Sequence[int]]],
) -> Unrolled | None:
    """Strips in groups, each off rolls of its own; None where one is not covered so.

    A group is the numbers of its strips, and how many rolls it has of each stock. Its strips and
    rolls come in the first of the orders of `off_these` in which they reach.
    """
    done = _Unrolling(stocks, laps, _InTurn(()).next)
    for own, counts in groups:
        lengths = [strips[k].high - strips[k].low for k in own]
        begun = (
            done.goes_on(strips, [own[k] for k in order], opened)
            for opened, order in _orders(lengths, stocks, laps, counts)
        )
        made = next((one for one in begun if one is not None), None)
        if made is None:
            return None
        done = made
    return done.unrolled()


class _InTurn:
    """Rolls as they are listed."""

    def __init__(self, rolls: Sequence[int]) -> None:
        self.left = iter(rolls)

    def next(self, to_come: int) -> int | None:
        return next(self.left, None)


class _Preferred:
    """Rolls as they are preferred; the last one the cheapest that holds what is still to come."""

    def __init__(self, stocks: Sequence[Stock], preferred: Sequence[int]) -> None:
        self.stocks = stocks
        self.preferred = preferred
        self.used: Counter[int] = Counter()

    def next(self, to_come: int) -> int | None:
        able = [
            n
            for n in self.preferred
            if (supply := self.stocks[n].supply) is None or self.used[n] < supply
        ]
        if not able:
            return None
        last = [n for n in able if self.stocks[n].usable >= to_come]
        number = min(last, key=lambda n: self.stocks[n].cost) if last else able[0]
        self.used[number] += 1
        return number


class _Unrolling:
    """Rolls opened one by one, each run out before the next is begun."""

    def __init__(self, stocks: Sequence[Stock], laps: Laps, opening: Opening) -> None:
        self.stocks = stocks
        self.laps = laps
        self.opening = opening
        self.rolls: list[int] = []
        self.rest = 0
        self.pieces: list[RollPiece] = []
        self.ends: dict[tuple[int, int], list[int]] = defaultdict(list)

    def all(self, strips: Sequence[Length], order: Iterable[int]) -> Unrolled | None:
        """Every strip, in that order; None where the rolls give out, or are too short for laps.

        Where what is left of a roll serves a strip no more, a later one that it holds whole is
        taken before it.
        """
        waiting = list(order)
        to_come = sum(strip.high - strip.low for strip in strips)
        while waiting:
            number = self._served(strips, waiting)
            waiting.remove(number)
            if not self._covered(number, strips[number], to_come):
                return None
            to_come -= strips[number].high - strips[number].low
        return self.unrolled()

    def unrolled(self) -> Unrolled:
        """All pieces so far, in the order of their strips, and all rolls."""
        pieces = sorted(self.pieces, key=lambda piece: (piece.strip, piece.low))
        return tuple(pieces), tuple(self.rolls)

    def goes_on(
        self, strips: Sequence[Length], order: Iterable[int], opened: Sequence[int]
    ) -> _Unrolling | None:
        """This and more strips, off rolls of their own; None where those give out."""
        more = _Unrolling(self.stocks, self.laps, _InTurn(opened).next)
        more.rolls, more.pieces = list(self.rolls), list(self.pieces)
        more.ends.update({row: list(own) for row, own in self.ends.items()})
        return None if more.all(strips, order) is None else more

    def _served(self, strips: Sequence[Length], waiting: Sequence[int]) -> int:
        """The next strip that what is left of the open roll serves, or the next of all."""
        first = strips[waiting[0]]
        if not self.rest or self._end(first, first.low) is not None:
            return waiting[0]
        held = (k for k in waiting if strips[k].high - strips[k].low <= self.rest)
        return next(held, waiting[0])

    def _covered(self, number: int, strip: Length, to_come: int) -> bool:
        """Whether a strip is covered, with new rolls where the open one gives out."""
        at = strip.low
        while True:
            end = self._end(strip, at)
            if end is None and self._open(to_come - (at - strip.low)):
                end = self._end(strip, at)
            if end is None:
                return False
            self.pieces.append(RollPiece(number, len(self.rolls) - 1, at, end))
            if end == strip.high:
                self.rest -= end - at
                return True
            self.rest = 0
            self.ends[strip.row].append(end)
            at = end - self.laps.end

    def _open(self, to_come: int) -> bool:
        """Open the next roll, if there is one."""
        number = self.opening(to_come)
        if number is None:
            return False
        self.rolls.append(number)
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
        """The farthest end of a piece whose lap lies away from those of the rows beside, if any.

        What is left of the strip is never shorter than two laps, and each piece goes on by
        `LEAST_ADVANCE` or more.
        """
        limit = min(at + self.rest, strip.high - self.laps.end)
        least = at + self.laps.end + LEAST_ADVANCE
        offset = self.laps.offset
        layer, row = strip.row
        beside = [
            other
            for near in (row - 1, row + 1)
            for other in self.ends.get((layer, near), ())
            if least - offset < other < limit + offset
        ]
        tried = [limit, *(other - offset for other in beside)]
        return max(
            (
                end
                for end in tried
                if least <= end <= limit and all(abs(end - other) >= offset for other in beside)
            ),
            default=None,
        )
