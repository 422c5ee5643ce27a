"""Pieces with mitred ends: a cut gives both sides of the kerf the same mitre (8.5).

Where two pieces follow each other with parallel ends one cut parts them, and nothing lies between;
otherwise each end has a cut of its own, with a wedge between. So what a stick holds depends on
the order of its pieces, and on which of them may be turned (8.4). All lengths are ticks; `kerf` is
what the saw takes along the stick at the sharpest mitre.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import NamedTuple

from service.cutting.effort import Effort
from service.cutting.records import Need, Plan, Stock
from service.cutting.sticks.bounds import material_bound
from service.cutting.sticks.set_cover import cheapest_sets, sets_that_fit
from service.cutting.sticks.solve import solve

MOST_SETS = 1500
"""Sets of pieces weighed at most; with more, pieces are laid one after the other."""


class Mitred(NamedTuple):
    """A piece by its overall extent, long point to long point (8.3), and the slant of its ends.

    `low` and `high`: how much farther along the stick the far edge begins and ends than the near
    one; 0 is square, and equal values are parallel cuts.
    """

    length: int
    low: int = 0
    high: int = 0

    @property
    def twice_middle(self) -> int:
        """Twice its length on the middle line."""
        return 2 * self.length - abs(self.low) - abs(self.high)


@dataclass(frozen=True, slots=True)
class Moves:
    """How a piece may be moved to lie in a stick (8.4).

    `turn` half round in the plane, `roll` about its length, `flip` end over end; two of them make
    the third.
    """

    turn: bool = False
    roll: bool = False
    flip: bool = False

    def ways(self, piece: Mitred) -> tuple[Mitred, ...]:
        """The piece in every way that it may lie, as it is first."""
        length, low, high = piece
        any_way = self.turn + self.roll + self.flip > 1
        found = [piece]
        if self.turn or any_way:
            found.append(Mitred(length, high, low))
        if self.roll or any_way:
            found.append(Mitred(length, -low, -high))
        if self.flip or any_way:
            found.append(Mitred(length, -high, -low))
        return tuple(dict.fromkeys(found))


@dataclass(frozen=True, slots=True)
class MitredStick:
    """One stick of stock number `stock` and its pieces as they lie, from its low end."""

    stock: int
    pieces: tuple[Mitred, ...]


@dataclass(frozen=True, slots=True)
class MitredPlan:
    """Sticks that hold every piece once; what they cost and what they must cost at least."""

    sticks: tuple[MitredStick, ...]
    cost: int
    bound: int


def wedges(pieces: Sequence[Mitred]) -> int:
    """Twice the length, on the middle line, of the wedges before, between and after pieces."""
    ends = [0, *(end for piece in pieces for end in (piece.low, piece.high)), 0]
    return sum(abs(a - b) for a, b in zip(ends[::2], ends[1::2], strict=True))


def extent(pieces: Sequence[Mitred], kerf: int) -> int:
    """The length of stick that pieces take in this order, rounded up."""
    twice = sum(piece.twice_middle for piece in pieces) + wedges(pieces)
    return -(-twice // 2) + kerf * max(0, len(pieces) - 1)


def shortest(pieces: Sequence[Mitred], moves: Moves) -> tuple[Mitred, ...]:
    """The pieces in the order, and each in the way, that takes the least length."""
    kinds = sorted(set(pieces))

    @cache
    def least(left: tuple[int, ...], end: int) -> tuple[int, tuple[Mitred, ...]]:
        """Least wedges after an end, and the pieces that follow it."""
        if not any(left):
            return abs(end), ()
        found = []
        for k, count in enumerate(left):
            if count:
                rest = (*left[:k], count - 1, *left[k + 1 :])
                for way in moves.ways(kinds[k]):
                    wedge, after = least(rest, way.high)
                    found.append((abs(end - way.low) + wedge, (way, *after)))
        return min(found)

    counts = Counter(pieces)
    return least(tuple(counts[kind] for kind in kinds), 0)[1]


def mitred_plan(
    stocks: Sequence[Stock],
    needs: Mapping[Mitred, int],
    kerf: int,
    moves: Moves,
    effort: Effort,
) -> MitredPlan | None:
    """The cheapest plan found for all pieces; None if one fits no stock or stock runs short.

    Never dearer than with each piece cut from its full extent. The bound is the middle lines'
    length, or the cost itself where all sets of pieces were weighed.
    """
    wanted = _usual(needs, moves)
    bound = _bound(stocks, wanted, kerf)
    found = [_apart(stocks, wanted, kerf, effort)]
    sets = list(sets_that_fit(list(wanted), wanted, _Fits(stocks, kerf, moves), MOST_SETS))
    proved = False
    if len(sets) <= MOST_SETS:
        best, proved = _by_sets(stocks, wanted, kerf, moves, sets, effort)
        found.append(best)
    else:
        found.append(_one_by_one(stocks, wanted, kerf, moves))
    plans = [plan for plan in found if plan is not None]
    if not plans:
        return None
    sticks = min(plans, key=lambda own: _cost(own, stocks))
    cost = _cost(sticks, stocks)
    return MitredPlan(sticks, cost, cost if proved else min(bound, cost))


def _usual(needs: Mapping[Mitred, int], moves: Moves) -> dict[Mitred, int]:
    """Pieces that are the same when moved are counted as one."""
    found: Counter[Mitred] = Counter()
    for piece, count in needs.items():
        found[min(moves.ways(piece))] += count
    return {piece: count for piece, count in sorted(found.items()) if count}


def _bound(stocks: Sequence[Stock], needs: Mapping[Mitred, int], kerf: int) -> int:
    """What the middle lines must cost."""
    twice = sum(piece.twice_middle * count for piece, count in needs.items())
    total = twice // 2 + kerf * sum(needs.values())
    return material_bound(stocks, {Need(total - kerf): 1}, kerf)


@dataclass(frozen=True, slots=True)
class _Fits:
    """Whether a set of pieces fits the longest stock in its best order."""

    stocks: Sequence[Stock]
    kerf: int
    moves: Moves

    def __call__(self, pieces: tuple[Mitred, ...]) -> bool:
        longest = max(stock.usable for stock in self.stocks)
        saw = self.kerf * (len(pieces) - 1)
        if sum(piece.length for piece in pieces) + saw <= longest:
            return True
        if sum(piece.twice_middle for piece in pieces) + 2 * saw > 2 * longest:
            return False
        return extent(shortest(pieces, self.moves), self.kerf) <= longest


def _by_sets(
    stocks: Sequence[Stock],
    needs: Mapping[Mitred, int],
    kerf: int,
    moves: Moves,
    sets: Sequence[tuple[Mitred, ...]],
    effort: Effort,
) -> tuple[tuple[MitredStick, ...] | None, bool]:
    """From all sets that fit: the best choice that is found, and whether it is the best."""
    listed = [
        (pieces, k)
        for pieces in sets
        for k in _worth_using(stocks, extent(shortest(pieces, moves), kerf))
    ]
    limits = [
        ([n for n, (_, j) in enumerate(listed) if j == k], stock.supply)
        for k, stock in enumerate(stocks)
        if stock.supply is not None
    ]
    costs = [float(stocks[k].cost) for _, k in listed]
    chosen = cheapest_sets([pieces for pieces, _ in listed], costs, needs, effort, limits)
    if chosen is None:
        return None, False
    used = [one for one, number in zip(listed, chosen.numbers, strict=True) for _ in range(number)]
    sticks = _dealt(used, needs, moves)
    return sticks, sticks is not None and chosen.proved


def _worth_using(stocks: Sequence[Stock], taken: int) -> list[int]:
    """Numbers of the stocks that `taken` fits: all that are limited, the cheapest of the others."""
    able = [k for k, stock in enumerate(stocks) if stock.usable >= taken]
    free = sorted((stocks[k].cost, k) for k in able if stocks[k].supply is None)
    return [k for k in able if stocks[k].supply is not None] + [k for _, k in free[:1]]


def _dealt(
    used: Sequence[tuple[tuple[Mitred, ...], int]], needs: Mapping[Mitred, int], moves: Moves
) -> tuple[MitredStick, ...] | None:
    """Sticks of the chosen sets, no piece more often than it is needed; None if one is missing."""
    left, sticks = Counter(needs), list[MitredStick]()
    for pieces, stock in used:
        kept = Counter(pieces) & left
        left -= kept
        if kept:
            sticks.append(MitredStick(stock, shortest(tuple(kept.elements()), moves)))
    return None if left else tuple(sticks)


def _apart(
    stocks: Sequence[Stock], needs: Mapping[Mitred, int], kerf: int, effort: Effort
) -> tuple[MitredStick, ...] | None:
    """Each piece from its full extent, as pieces with square ends are (8.3)."""
    lengths: Counter[Need] = Counter()
    waiting: dict[int, list[Mitred]] = {}
    for piece, count in needs.items():
        lengths[Need(piece.length)] += count
        waiting.setdefault(piece.length, []).extend([piece] * count)
    plan: Plan | None = solve(stocks, lengths, kerf, effort)
    if plan is None:
        return None
    return tuple(
        MitredStick(stick.stock, tuple(waiting[need.length].pop() for need in stick.pieces))
        for stick in plan.sticks
    )


def _one_by_one(
    stocks: Sequence[Stock], needs: Mapping[Mitred, int], kerf: int, moves: Moves
) -> tuple[MitredStick, ...] | None:
    """Longest first, each piece at the end of the stick that it fills best, in its best way."""
    sticks: list[MitredStick] = []
    pieces = [piece for piece, count in needs.items() for _ in range(count)]
    for piece in sorted(pieces, key=lambda one: (-one.length, one)):
        rooms = [
            (stocks[stick.stock].usable - extent((*stick.pieces, way), kerf), number, way)
            for number, stick in enumerate(sticks)
            for way in moves.ways(piece)
        ]
        best = min((one for one in rooms if one[0] >= 0), default=None)
        if best is not None:
            _, number, way = best
            sticks[number] = replace(sticks[number], pieces=(*sticks[number].pieces, way))
            continue
        stock = _next_stock(stocks, piece, Counter(stick.stock for stick in sticks))
        if stock is None:
            return None
        sticks.append(MitredStick(stock, (piece,)))
    return tuple(sticks)


def _next_stock(stocks: Sequence[Stock], piece: Mitred, used: Mapping[int, int]) -> int | None:
    """The stock that costs least by its length, of those that hold a piece and are still there."""
    able = [
        k
        for k, stock in enumerate(stocks)
        if stock.usable >= piece.length and (stock.supply is None or used.get(k, 0) < stock.supply)
    ]
    return min(able, key=lambda k: (Fraction(stocks[k].cost, stocks[k].usable), k), default=None)


def _cost(sticks: Sequence[MitredStick], stocks: Sequence[Stock]) -> int:
    return sum(stocks[stick.stock].cost for stick in sticks)
