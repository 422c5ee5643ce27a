"""Small jobs by trying everything, where raw ends are trimmed by what they become (8.1, 6.7).

Every joint layout of a few courses, every parting of the pieces into sticks, and every two of them
at the ends of a stick; a joint has a price. Lengths are ticks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations, pairwise, permutations

from tests.independent.brute import Joints, Limits, Run, apart, borne

Piece = tuple[int, bool, bool]
"""Length, and whether its low and its high end are at a wall."""


@dataclass(frozen=True)
class Sawing:
    """Sticks as (length, cost), the kerf, the trims at a joint and at a wall, a joint's price."""

    sticks: tuple[tuple[int, int], ...]
    kerf: int
    joint_trim: int
    wall_trim: int
    joint_cost: int

    def trim(self, wall: bool) -> int:
        """What a raw end is trimmed by."""
        return self.wall_trim if wall else self.joint_trim

    def taken(self, pieces: tuple[Piece, ...]) -> int:
        """The length of stick that pieces take at least, whichever lies at which end of it."""
        outer = list(permutations(pieces, 2)) or [(pieces[0], pieces[0])]
        trims = min(self.trim(first[1]) + self.trim(last[2]) for first, last in outer)
        return sum(length for length, _, _ in pieces) + self.kerf * (len(pieces) - 1) + trims

    def price(self, pieces: tuple[Piece, ...]) -> int | None:
        """The cheapest stick that holds the pieces in any order; None if none does."""
        least = self.taken(pieces)
        return min((cost for length, cost in self.sticks if length >= least), default=None)


def pieces_of(run: Run, joints: Joints) -> tuple[Piece, ...]:
    """The pieces of a run, those at its ends with a wall."""
    ends = (run.low, *joints, run.high)
    return tuple((b - a, a == run.low, b == run.high) for a, b in pairwise(ends))


def joint_sets(run: Run, limits: Limits, sawing: Sawing) -> list[Joints]:
    """Every legal set of joints of one run; one that a stick holds whole has none (6.1)."""
    whole = (run.high - run.low, True, True)
    if sawing.price((whole,)) is not None:
        return [()]

    def grow(done: Joints) -> Iterator[Joints]:
        low = done[-1] if done else run.low
        for high in (*run.places, run.high):
            piece = (high - low, low == run.low, high == run.high)
            if high - low < limits.min_piece or borne(low, high, limits) < limits.min_bearings:
                continue
            if sawing.price((piece,)) is None:
                continue
            if high == run.high:
                yield done
            else:
                yield from grow((*done, high))

    return list(grow(()))


def layouts(runs: list[Run], limits: Limits, sawing: Sawing) -> Iterator[tuple[Joints, ...]]:
    """Every legal layout of courses of one run each."""
    choices = [joint_sets(run, limits, sawing) for run in runs]

    def grow(done: tuple[Joints, ...]) -> Iterator[tuple[Joints, ...]]:
        if len(done) == len(runs):
            yield done
            return
        for joints in choices[len(done)]:
            near = not done or apart(done[-1], joints, limits.stagger)
            if near and (len(done) < 2 or apart(done[-2], joints, limits.repeat)):
                yield from grow((*done, joints))

    yield from grow(())


def cutting(pieces: tuple[Piece, ...], sawing: Sawing) -> int:
    """Least cost of cutting all pieces: the first goes with every set of others that fits."""

    @cache
    def price(own: tuple[Piece, ...]) -> int | None:
        return sawing.price(own)

    @cache
    def least(rest: tuple[Piece, ...]) -> int:
        if not rest:
            return 0
        best, others = 10**18, range(1, len(rest))
        for count in range(len(rest)):
            for beside in set(combinations(others, count)):
                cost = price((rest[0], *(rest[i] for i in beside)))
                if cost is not None:
                    left = tuple(rest[i] for i in others if i not in beside)
                    best = min(best, cost + least(left))
        return best

    return least(tuple(sorted(pieces, reverse=True)))


def least_sum(runs: list[Run], limits: Limits, sawing: Sawing) -> int | None:
    """Least cost of sticks and joints over all layouts and cuttings; None without a layout."""
    best: dict[tuple[Piece, ...], int] = {}
    for layout in layouts(runs, limits, sawing):
        pieces = [p for run, own in zip(runs, layout, strict=True) for p in pieces_of(run, own)]
        key = tuple(sorted(pieces))
        joints = sum(map(len, layout))
        best[key] = min(joints, best.get(key, joints))
    sums = (cutting(key, sawing) + sawing.joint_cost * joints for key, joints in best.items())
    return min(sums, default=None)
