"""Where a line that is longer than any stick may be joined: on bearings, in few pieces (17.4)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Line:
    """A line of trim from its start, ticks: its `length`, and what its two ends add to it.

    A piece may be as long as `usable`, with half of `lap` more at each end that is joined; no joint
    is nearer than `least` to an end of the line, and no piece between two joints is shorter.
    """

    length: int
    adds: tuple[int, int]
    usable: int
    lap: int
    least: int

    @property
    def extent(self) -> int:
        """All that it is cut of, without what joints lap: its length and what its ends add."""
        return self.length + self.adds[0] + self.adds[1]

    @property
    def is_whole(self) -> bool:
        """Whether one stick gives all of it."""
        return self.extent <= self.usable

    def _takes(self, low: int, high: int) -> bool:
        """Whether a stick gives the piece from one place to another, and it is long enough."""
        first = self.lap // 2 if low else self.adds[0]
        last = self.lap // 2 if high < self.length else self.adds[1]
        return high - low + first + last <= self.usable and high - low >= self.least

    def places_on(self, bearings: Sequence[int]) -> tuple[int, ...]:
        """Where it may be joined on bearings, none of them too near to its ends."""
        low, high = max(1, self.least), self.length - max(1, self.least)
        return tuple(sorted({at for at in bearings if low <= at <= high}))

    def fewest(self, places: Sequence[int]) -> int | None:
        """How many joints it has at least, at some of the `places`; None where they do not do."""
        if self.usable <= 0:
            return None
        nodes = [0, *places, self.length]
        best: list[int | None] = [0]
        first = 0
        for k in range(1, len(nodes)):
            while nodes[k] - nodes[first] > self.usable:
                first += 1
            ways = [
                known + 1
                for j in range(first, k)
                if (known := best[j]) is not None and self._takes(nodes[j], nodes[k])
            ]
            best.append(min(ways, default=None))
        return None if best[-1] is None else best[-1] - 1

    def free_places(self) -> tuple[int, ...]:
        """Where it is tried to join it in the fewest pieces if nothing says where.

        In equal pieces, or whole sticks from either end.
        """
        most = self.usable - self.lap - max(self.adds)
        if most <= self.lap:
            return ()  # of such a stick nothing but scarfs would be left
        count = -(-self.length // most)
        equal = {self.length * k // count for k in range(1, count)}
        sticks = {k * most for k in range(1, count) if self.least <= self.length - k * most}
        return tuple(sorted(equal | sticks | {self.length - at for at in sticks}))
