"""What cutting knows: needs, stock, patterns and plans. Lengths are ticks, costs integers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple


class Need(NamedTuple):
    """A piece to be cut: its length, and which of its ends must be a factory end.

    A piece with `low_factory` can only come from the low end of a stick, one with `high_factory`
    only from its high end, one with both is a whole stick. A tuple, since needs are counted and
    looked up more often than anything else here.
    """

    length: int
    low_factory: bool = False
    high_factory: bool = False


@dataclass(frozen=True, slots=True)
class Stock:
    """One length that can be bought or is at hand.

    `usable` is the length less both end trims. `cost` is in the plan's own integer unit.
    `supply` is how many there are, None without limit. `kept` is what of it stays as a rest of
    value, taken off `usable` and `cost` already.
    """

    key: str
    length: int
    usable: int
    cost: int
    supply: int | None = None
    kept: int = 0


@dataclass(frozen=True, slots=True)
class Pattern:
    """What is cut from one stick of stock number `stock`: needs and how many of each."""

    stock: int
    pieces: tuple[tuple[Need, int], ...]


@dataclass(frozen=True, slots=True)
class Stick:
    """One stick of stock number `stock`, its pieces in cutting order from its low end."""

    stock: int
    pieces: tuple[Need, ...]


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


def ordered(needs: Mapping[Need, int]) -> tuple[Need, ...]:
    """The pieces of one stick in cutting order: low factory end first, then longest first."""
    pieces = [need for need, count in needs.items() for _ in range(count)]
    return tuple(sorted(pieces, key=lambda n: (not n.low_factory, n.high_factory, -n.length)))
