"""Pieces with slanted ends from sticks, where one cut may part two of them (4.5, 8.5).

A cut through a board gives both sides of the kerf the same mitre. So where the high end of a piece
and the low end of the next slant alike, they lie over each other by all of the slant, and the saw
takes a kerf along the slant. Pieces lie in their sticks in order, each as it is or half round where
boards may be turned. All lengths are ticks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations, product
from math import inf, isqrt

from service.cutting.effort import Effort
from service.cutting.records import Between, Need, Stick, Stock, ordered
from service.cutting.sticks.fillings import Filler
from service.solver.programme import Programme, cover_of, least_cover

MOST_ORDERED = 5
"""Pieces of a stick up to which every order is tried."""

ROUNDS = 40
"""Rounds of pricing at most."""

FEWEST_NODES = 50
"""Nodes of the last choice of sticks at least."""


@dataclass(frozen=True, slots=True)
class Blade:
    """What a square cut takes of a board, and the face over which ends slant."""

    kerf: int
    face: int

    def between(self, one: Need, other: Need) -> Between:
        """What lies between two pieces: how far they overlap, and what the saw takes."""
        slant = abs(one.high_cut)
        if one.high_cut != other.low_cut or not self.saved(slant):
            return Between(0, self.kerf)
        return Between(slant, self._along(slant))

    def saved(self, slant: int) -> int:
        """What a shared cut saves of a stick; nothing where the kerf takes more than the slant."""
        return max(0, slant + self.kerf - self._along(slant))

    def _along(self, slant: int) -> int:
        """What a slanted cut takes along the stick (4.5)."""
        return -(-self.kerf * (isqrt(self.face**2 + slant**2) + 1) // self.face)


def nested_sticks(
    stocks: Sequence[Stock], known: Sequence[Stick], blade: Blade, effort: Effort, most: int
) -> tuple[Stick, ...] | None:
    """Sticks for the pieces of `known` ones that share cuts and cost at most `most`, or None."""
    bench = Bench(stocks, known, blade)
    if not bench.nests:
        return None
    master = _Master(bench)
    filler = Filler(stocks, bench.lying, blade.between)
    for _ in range(min(ROUNDS, effort.rounds)):
        priced = master.priced()
        if priced is None or not master.grown(filler.best(*priced)):
            break
    return master.sticks(effort, most)


class Bench:
    """The pieces of known sticks, by number, and how they lie in a stick."""

    def __init__(self, stocks: Sequence[Stock], known: Sequence[Stick], blade: Blade) -> None:
        self.stocks, self.known, self.blade = stocks, known, blade
        self.turns = any(stock.turned for stock in stocks)
        self.wanted = Counter(self.usual(need) for stick in known for need in stick.pieces)
        self.numbers = {need: k for k, need in enumerate(sorted(self.wanted))}
        self.lying = [(k, way) for need, k in self.numbers.items() for way in self._ways(need)]

    @property
    def nests(self) -> bool:
        """Whether any two ends slant alike."""
        lows = {way.low_cut for _, way in self.lying if way.low_cut}
        return any(way.high_cut in lows for _, way in self.lying)

    def usual(self, need: Need) -> Need:
        """The piece by which those are counted that are the same when turned."""
        return need.usual if self.turns else need

    def _ways(self, need: Need) -> tuple[Need, ...]:
        """As it lies, and half round where it may."""
        half = need.half_round
        slants = need.low_cut or need.high_cut
        return (need, half) if self.turns and slants and half != need else (need,)

    def fits(self, pieces: Sequence[Need], stock: Stock) -> bool:
        """Whether pieces fit a stick in this order."""
        return self._left(pieces, stock) >= 0

    def _left(self, pieces: Sequence[Need], stock: Stock) -> int:
        """What is left of a stick beside pieces and the cuts between them."""
        between = [self.blade.between(a, b) for a, b in pairwise(pieces)]
        taken = sum(need.length for need in pieces) + sum(one.kerf - one.lap for one in between)
        return stock.room_in_order(pieces) - taken

    def best_order(self, pieces: tuple[Need, ...], stock: Stock) -> tuple[Need, ...]:
        """The order, and the way that each lies, with the most of the stick left."""
        if len(pieces) > MOST_ORDERED:
            return pieces
        orders = sorted(set(permutations(pieces)))
        lying = (own for order in orders for own in product(*map(self._ways, order)))
        return max(lying, key=lambda own: self._left(own, stock))

    def stick(self, stock: int, pieces: tuple[Need, ...]) -> Stick:
        """A stick with what lies between its pieces; as any other where no cut is shared."""
        between = tuple(self.blade.between(a, b) for a, b in pairwise(pieces))
        if any(one.lap for one in between):
            return Stick(stock, pieces, between)
        return Stick(stock, ordered(Counter(pieces), self.stocks[stock]))


class _Master:
    """Sticks that are known, and the least that all pieces cost of them."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._programme = Programme()
        for need in bench.numbers:
            self._programme.add_row(float(bench.wanted[need]))
        self._limits = {
            k: self._programme.add_row(-inf, float(stock.supply))
            for k, stock in enumerate(bench.stocks)
            if stock.supply is not None
        }
        self._unit = float(max(stock.cost for stock in bench.stocks)) or 1.0
        self._known: set[tuple[int, tuple[int, ...]]] = set()
        self._columns: list[tuple[int, tuple[Need, ...]]] = []
        for stick in bench.known:
            self._add(stick.stock, bench.best_order(stick.pieces, bench.stocks[stick.stock]))
        for _, way in bench.lying:
            for k in range(len(bench.stocks)):
                self._add(k, (way,))

    def _add(self, stock: int, pieces: tuple[Need, ...]) -> None:
        """Take in a stick, if it is new and can be cut."""
        bench = self._bench
        numbers = tuple(sorted(bench.numbers[bench.usual(need)] for need in pieces))
        if (stock, numbers) in self._known or not bench.fits(pieces, bench.stocks[stock]):
            return
        self._known.add((stock, numbers))
        self._columns.append((stock, pieces))
        entries = {row: float(count) for row, count in Counter(numbers).items()}
        if stock in self._limits:
            entries[self._limits[stock]] = 1.0
        self._programme.add_column(bench.stocks[stock].cost / self._unit, entries)

    def priced(self) -> tuple[Sequence[float], Sequence[float]] | None:
        """What each piece is worth, and what each stock costs; None where there is no plan."""
        solved = self._programme.solve()
        if solved is None:
            return None
        costs = [
            stock.cost / self._unit - (solved.duals[self._limits[k]] if k in self._limits else 0.0)
            for k, stock in enumerate(self._bench.stocks)
        ]
        return solved.duals[: len(self._bench.numbers)], costs

    def grown(self, found: Iterator[tuple[int, tuple[Need, ...]]]) -> bool:
        """Whether any of these sticks was new."""
        known = len(self._columns)
        for stock, pieces in found:
            self._add(stock, pieces)
        return len(self._columns) > known

    def sticks(self, effort: Effort, most: int) -> tuple[Stick, ...] | None:
        """Whole sticks for all pieces that cost at most `most`; None where none were found."""
        cover = cover_of(self._programme.columns, self._programme.sides)
        nodes = max(effort.nodes, FEWEST_NODES)
        found = least_cover(cover, nodes, (most + 0.5) / self._unit, inner=effort.inner)
        return None if found.values is None else self._dealt(found.values)

    def _dealt(self, counts: Sequence[int]) -> tuple[Stick, ...] | None:
        """The chosen sticks, no piece more often than it is wanted; None if one does not fit."""
        bench, sticks = self._bench, list[Stick]()
        left = Counter(bench.wanted)
        for (stock, pieces), count in zip(self._columns, counts, strict=True):
            for _ in range(count):
                kept = _taken(pieces, left, bench)
                if kept and not bench.fits(kept, bench.stocks[stock]):
                    return None
                sticks += [bench.stick(stock, kept)] if kept else []
        return None if +left else tuple(sticks)


def _taken(pieces: Sequence[Need], left: Counter[Need], bench: Bench) -> tuple[Need, ...]:
    """Those of some pieces that are still wanted; they are not wanted any more."""
    kept = []
    for way in pieces:
        usual = bench.usual(way)
        if left[usual]:
            left[usual] -= 1
            kept.append(way)
    return tuple(kept)
