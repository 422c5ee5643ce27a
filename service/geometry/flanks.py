"""A convex polygon by its two flanks, each from its lowest corner to its highest: cut by levels.

What lies between two levels is found at the few corners beside them, however many it has in all.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from service.units.once import once

Corners = tuple[tuple[int, int], ...]

_APART = 64
"""Ticks that corners keep from each other so that snapping one of them cannot move another."""

_TIE = 10_000
"""A crossing within such a part of half a tick may be snapped either way by another library."""


@dataclass(frozen=True)
class Flank:
    """Corners of one side of a convex polygon, the second coordinate rising strictly."""

    corners: Corners

    @once
    def levels(self) -> tuple[int, ...]:
        """The second coordinates of the corners."""
        return tuple(v for _, v in self.corners)

    @once
    def stations(self) -> tuple[int, ...]:
        """The first coordinates of the corners."""
        return tuple(u for u, _ in self.corners)

    def between(self, near: int, far: int) -> Corners:
        """The corners between two levels, those on a level left out."""
        return self.corners[bisect_right(self.levels, near) : bisect_left(self.levels, far)]

    def at(self, level: int) -> int:
        """Where the flank crosses a level within its reach, to the nearest tick (half up)."""
        k = bisect_left(self.levels, level)
        if self.levels[k] == level:
            return self.stations[k]
        (a, low), (b, high) = self.corners[k - 1 : k + 1]
        return a + (2 * (b - a) * (level - low) + high - low) // (2 * (high - low))

    def is_clear(self, level: int) -> bool:
        """Whether a level meets a corner, or keeps so far from all that snapping is sure."""
        k = bisect_left(self.levels, level)
        if self.levels[k] == level:
            return True
        (a, low), (b, high) = self.corners[k - 1 : k + 1]
        beyond = (2 * (b - a) * (level - low) + high - low) % (2 * (high - low)) * _TIE
        tie = 2 * (high - low)
        return min(level - low, high - level) >= _APART and tie <= beyond <= tie * (_TIE - 1)

    def beyond(self, level: int, *, below: bool) -> Iterator[int]:
        """The first coordinates of what lies on one side of a level, at its corners and there."""
        if below:
            yield from self.stations[: bisect_right(self.levels, level)]
        else:
            yield from self.stations[bisect_left(self.levels, level) :]
        if self.levels[0] < level < self.levels[-1]:
            yield self.at(level)


@dataclass(frozen=True, slots=True)
class Flanks:
    """The flank of lower and of higher first coordinates."""

    left: Flank
    right: Flank

    @property
    def reach(self) -> tuple[int, int]:
        """The lowest and the highest level."""
        return self.left.levels[0], self.left.levels[-1]

    def beyond(self, level: int, *, below: bool) -> tuple[int, int]:
        """From where to where along it reaches on one side of a level; some of it lies there."""
        met = [*self.left.beyond(level, below=below), *self.right.beyond(level, below=below)]
        return min(met), max(met)

    def between(self, near: int, far: int) -> Corners | None:
        """The ring of what lies between two levels, snapped; some of it may lie straight on.

        None where snapping might do more to it than to move each new corner to the nearest tick.
        """
        low, high = max(near, self.reach[0]), min(far, self.reach[1])
        sides = self.left, self.right
        if not all(side.is_clear(level) for side in sides for level in (low, high)):
            return None
        (a, b), (c, d) = ([side.at(level) for side in sides] for level in (low, high))
        if high - low < _APART or 0 < b - a < _APART or 0 < d - c < _APART:
            return None
        up, down = self.right.between(low, high), self.left.between(low, high)[::-1]
        return ((a, low), (b, low), *up, (d, high), (c, high), *down)


def flanks_of(ring: Corners) -> Flanks:
    """The flanks of a convex ring: counter-clockwise, no corner of it straight on."""
    levels = [v for _, v in ring]
    first = levels.index(min(levels))
    first -= int(levels[first - 1] == levels[first])
    around = (*ring[first:], *ring[:first], ring[first])
    levels = [v for _, v in around]
    top = levels.index(max(levels))
    last = top + int(levels[top + 1] == levels[top])
    return Flanks(
        Flank(around[: last - 1 : -1]), Flank(around[int(levels[1] == levels[0]) : top + 1])
    )


def is_stout(ring: Corners) -> bool:
    """Whether a convex ring turns by a right angle at most, between edges that are no specks."""
    steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise((*ring, *ring[:2]))]
    return all(
        a * c + b * d >= 0 and max(abs(a), abs(b)) >= _APART for (a, b), (c, d) in pairwise(steps)
    )
