"""The least cost of cutting slanted pieces where neighbours may share a cut, by trying everything.

A piece is where its two long edges begin and end, measured along the stick; every cut is straight,
so two pieces clear each other if they do on both edges. Imports nothing of the service.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import permutations, product
from typing import NamedTuple


class Slanted(NamedTuple):
    """Begin and end of the near long edge, then of the far one."""

    near: tuple[float, float]
    far: tuple[float, float]

    @property
    def turned(self) -> Slanted:
        """The same piece half round: its edges change places, and its ends."""
        return Slanted((-self.far[1], -self.far[0]), (-self.near[1], -self.near[0]))


def least_extent(pieces: Sequence[Slanted], kerf: float, *, turns: bool = False) -> float:
    """The length of stick that pieces take in their best order, turned only if they may be."""
    ways = product(*((piece, piece.turned) if turns else (piece,) for piece in pieces))
    return min(_in_order(order, kerf) for own in ways for order in permutations(own))


def _in_order(pieces: Sequence[Slanted], kerf: float) -> float:
    """Each piece as close to the one before as the saw allows on both edges."""
    starts, ends = [], []
    near = far = float("-inf")
    for piece in pieces:
        shift = 0.0 if not starts else max(near + kerf - piece.near[0], far + kerf - piece.far[0])
        near, far = piece.near[1] + shift, piece.far[1] + shift
        starts.append(min(piece.near[0], piece.far[0]) + shift)
        ends.append(max(near, far))
    return max(ends) - min(starts)


def least_nested(
    pieces: Sequence[Slanted],
    bars: Sequence[tuple[float, float]],
    kerf: float,
    *,
    turns: bool = False,
) -> float:
    """Least cost of bars (usable length, cost) for all pieces; a hair of play for rounding."""

    @cache
    def bar_for(taken: tuple[int, ...]) -> float:
        extent = least_extent([pieces[k] for k in taken], kerf, turns=turns) - 1e-6
        return min((cost for usable, cost in bars if usable >= extent), default=float("inf"))

    @cache
    def least(left: tuple[int, ...]) -> float:
        if not left:
            return 0.0
        found = float("inf")
        first, others = left[0], left[1:]
        for chosen in range(1 << len(others)):
            beside = tuple(other for k, other in enumerate(others) if chosen >> k & 1)
            cost = bar_for((first, *beside))
            if cost < found:
                rest = tuple(other for other in others if other not in beside)
                found = min(found, cost + least(rest))
        return found

    return least(tuple(range(len(pieces))))
