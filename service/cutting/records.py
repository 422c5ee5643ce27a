"""What cutting knows: needs, stock, patterns and plans. Lengths are ticks, costs integers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple


class Need(NamedTuple):
    """A piece to be cut: its length, and what must or may become of its ends.

    A piece with `low_factory` can only come from the low end of a stick, one with `high_factory`
    only from its high end, one with both is a whole stick. A `spared` end takes less of the raw end
    of a stick than others do, if it lies there (8.1). A `cut` says of a slanted end that may share
    a cut with the next piece how much further along the stick it lies at the far edge than at the
    near one (4.5); it is 0 where nothing is shared. A tuple, since needs are counted and looked up
    more often than anything else here.
    """

    length: int
    low_factory: bool = False
    high_factory: bool = False
    low_spared: bool = False
    high_spared: bool = False
    low_cut: int = 0
    high_cut: int = 0

    @property
    def half_round(self) -> Need:
        """The piece turned half round in its plane: its ends change places, and slant as before."""
        length, low_factory, high_factory, low_spared, high_spared, low_cut, high_cut = self
        return Need(length, high_factory, low_factory, high_spared, low_spared, high_cut, low_cut)

    @property
    def usual(self) -> Need:
        """The one of the two ways by which pieces that may be turned are counted, if they slant."""
        return min(self, self.half_round) if self.low_cut or self.high_cut else self


class Between(NamedTuple):
    """How far two pieces that follow each other in a stick overlap, and what the saw takes."""

    lap: int
    kerf: int


class Sawing(NamedTuple):
    """Saw cuts of a stick, the length that they take, and how far its pieces overlap each other."""

    cuts: int
    length: int
    laps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Stock:
    """One length that can be bought or is at hand.

    `usable` is the length less both end trims, `spare` what its low and its high end give back
    where a piece lies there whose end is spared; where its pieces may be `turned` end for end, it
    does not matter which of their ends is. `cost` is in the plan's own integer unit.
    `supply` is how many there are, None without limit. What is `owned` need not be bought: no run
    must be whole because it would do for it. `kept` is what of it stays as a rest of
    value, taken off `usable` and `cost` already.
    """

    key: str
    length: int
    usable: int
    cost: int
    supply: int | None = None
    kept: int = 0
    spare: tuple[int, int] = (0, 0)
    turned: bool = False
    owned: bool = False

    @property
    def reach(self) -> int:
        """The most that all its pieces and the cuts between them can take."""
        return self.usable + self.spare[0] + self.spare[1]

    def holds(self, need: Need) -> bool:
        """Whether it is long enough for one piece, which may be a whole stick."""
        return need.length <= self.usable + self.spared(need)

    def spared(self, need: Need) -> int:
        """What its ends give back for one piece alone."""
        low, high = self.spare
        if self.turned and need.low_spared != need.high_spared:
            return max(low, high)
        return low * need.low_spared + high * need.high_spared

    def room(self, pieces: Mapping[Need, int]) -> int:
        """The length for these pieces and the cuts between them, those that it spares at its ends.

        One piece cannot lie at both ends, unless it is alone.
        """
        if not any(self.spare):
            return self.usable
        able = [
            (need, count) for need, count in pieces.items() if need.low_spared or need.high_spared
        ]
        if sum(count for _, count in able) == 1:
            return self._room_of_one(able[0][0], alone=sum(pieces.values()) == 1)
        return self._room_of_any([need for need, _ in able])

    def room_of(self, pieces: Sequence[Need]) -> int:
        """The same, of pieces in cutting order."""
        if not any(self.spare):
            return self.usable
        able = [need for need in pieces if need.low_spared or need.high_spared]
        if len(able) == 1:
            return self._room_of_one(able[0], alone=len(pieces) == 1)
        return self._room_of_any(able)

    def _room_of_one(self, need: Need, *, alone: bool) -> int:
        """The length where its ends spare one piece alone."""
        return self.usable + (self.spared(need) if alone else self._spared_once(need))

    def _room_of_any(self, able: Sequence[Need]) -> int:
        """The length where its ends spare these of its pieces: each end one of them."""
        low, high = self.spare
        lows = any(self.turned or need.low_spared for need in able)
        highs = any(self.turned or need.high_spared for need in able)
        return self.usable + low * lows + high * highs

    def room_in_order(self, pieces: Sequence[Need]) -> int:
        """The same, of pieces that lie as they are in this order."""
        low, high = self.spare
        return self.usable + low * pieces[0].low_spared + high * pieces[-1].high_spared

    def _spared_once(self, need: Need) -> int:
        """What the better of its ends gives back for one piece that lies beside others."""
        low, high = self.spare
        ends = need.low_spared or self.turned, need.high_spared or self.turned
        return max(low * ends[0], high * ends[1])


@dataclass(frozen=True, slots=True)
class Pattern:
    """What is cut from one stick of stock number `stock`: needs and how many of each."""

    stock: int
    pieces: tuple[tuple[Need, int], ...]


@dataclass(frozen=True, slots=True)
class Stick:
    """One stick of stock number `stock`, its pieces in cutting order from its low end.

    `between` says what lies between each two of them where slanted cuts are shared; empty where
    none is.
    """

    stock: int
    pieces: tuple[Need, ...]
    between: tuple[Between, ...] = ()

    def room(self, stock: Stock) -> int:
        """The length of its stock for its pieces and the cuts between them."""
        return stock.room_in_order(self.pieces) if self.between else stock.room_of(self.pieces)

    def saw(self, stock: Stock, kerf: int) -> Sawing:
        """What the saw takes of it: one cut between pieces, one before the rest (8.2).

        The last cut takes what is there, at most a kerf.
        """
        taken = sum(need.length for need in self.pieces)
        if not self.between:
            count, length = kerfs(taken, len(self.pieces), kerf, stock.room_of(self.pieces))
            return Sawing(count, length, ())
        laps = tuple(one.lap for one in self.between)
        between = sum(one.kerf for one in self.between)
        last = min(kerf, self.room(stock) - taken - between + sum(laps))
        return Sawing(len(self.pieces) - 1 + (last > 0), between + last, laps)


@dataclass(frozen=True, slots=True)
class Plan:
    """Sticks that hold every need once; what they cost and what they must cost at least."""

    sticks: tuple[Stick, ...]
    cost: int
    bound: int
    work: int

    @property
    def optimal(self) -> bool:
        """Whether no plan can cost less."""
        return self.cost <= self.bound


def fits(lengths: int, pieces: int, kerf: int, usable: int) -> bool:
    """Whether `pieces` pieces of `lengths` in all, and the cuts between them, fit (8.2)."""
    return pieces == 0 or lengths + kerf * (pieces - 1) <= usable


def kerfs(lengths: int, pieces: int, kerf: int, usable: int) -> tuple[int, int]:
    """Saw cuts of a stick and the length they take: one between pieces, one before the rest.

    The last cut takes what is there, at most a kerf (8.2).
    """
    if pieces == 0:
        return 0, 0
    between = kerf * (pieces - 1)
    last = min(kerf, usable - lengths - between)
    return pieces - 1 + (last > 0), between + last


def ordered(needs: Mapping[Need, int], stock: Stock) -> tuple[Need, ...]:
    """The pieces of one stick in cutting order: longest first, but for those that an end wants.

    A factory end lies at its end of the stick, and a spared end at a raw one that gives length
    back for it.
    """
    spare = stock.spare
    middle = sorted((need for need, count in needs.items() for _ in range(count)), key=_longest)
    first, last = list[Need](), list[Need]()
    for end in (0, 1) if spare[0] >= spare[1] else (1, 0):
        found = _wanted_at(middle, end, stock)
        if found is not None:
            (first, last)[end].append(middle.pop(found))
    return (*first, *middle, *last)


def _longest(need: Need) -> tuple[int, Need]:
    return -need.length, need


_FACTORY, _SPARED = (1, 2), (3, 4)
"""Members of a need for its low and its high end."""


def _wanted_at(pieces: Sequence[Need], end: int, stock: Stock) -> int | None:
    """The piece for an end of the stick, rather one that is not for the other end too; or None."""
    for ends in (_FACTORY, _SPARED) if stock.spare[end] else (_FACTORY,):
        own, other = ends[end], ends[1 - end]
        either = ends is _SPARED and stock.turned
        able = [k for k, need in enumerate(pieces) if need[own] or (either and need[other])]
        if able:
            return min(able, key=lambda k: (pieces[k][own] and pieces[k][other], k))
    return None
