"""An order of strips in which given rolls, run out one after another, cover all of them.

A search that follows what is left of the open roll and of the others; where laps of neighbouring
widths must keep apart more may be lost, so that what it finds is still to be unrolled.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Sequence

MOST_STEPS = 400
"""States of a search that are looked at."""

MOST_STRIPS = 150
"""With more strips no order is looked for."""


class StripOrder:
    """Strips of some lengths off rolls of some lengths, opened as they are listed.

    `lap` is lost where a strip goes on off the next roll; a rest of a begun roll under `reuse`
    begins no strip that it does not hold.
    """

    def __init__(self, rolls: Sequence[int], lap: int, reuse: int) -> None:
        self.rolls = rolls
        self.left = [sum(rolls[k:]) for k in range(len(rolls) + 1)]
        self.lap = lap
        self.reuse = max(reuse, lap + 1)
        self.dead: set[tuple[tuple[int, ...], int, int]] = set()

    def of(self, lengths: Sequence[int]) -> list[int] | None:
        """The numbers of strips in such an order; None where none is found."""
        if len(lengths) > MOST_STRIPS:
            return None
        numbers: dict[int, deque[int]] = defaultdict(deque)
        for number, length in enumerate(lengths):
            numbers[length].append(number)
        kinds = sorted(numbers, reverse=True)
        found = self._after(kinds, tuple(len(numbers[kind]) for kind in kinds), 0, 0)
        return None if found is None else [numbers[kind].popleft() for kind in found[::-1]]

    def _after(
        self, kinds: Sequence[int], counts: tuple[int, ...], opened: int, rest: int
    ) -> list[int] | None:
        """Lengths, the last first, off what is left of `opened` rolls and off the others."""
        to_come = sum(kind * count for kind, count in zip(kinds, counts, strict=True))
        if not to_come:
            return []
        state = (counts, opened, rest)
        if to_come > rest + self.left[opened] or state in self.dead or len(self.dead) >= MOST_STEPS:
            return None
        for k, kind in enumerate(kinds):
            after = self._covered(kind, opened, rest) if counts[k] else None
            if after is None:
                continue
            fewer = (*counts[:k], counts[k] - 1, *counts[k + 1 :])
            found = self._after(kinds, fewer, *after)
            if found is not None:
                return [*found, kind]
        self.dead.add(state)
        return None

    def _covered(self, length: int, opened: int, rest: int) -> tuple[int, int] | None:
        """Rolls that are opened after a strip, and the rest of the last; None if too few."""
        fresh = False
        while length > rest:
            if rest >= (2 * self.lap if fresh else self.reuse):
                length -= min(rest, length - self.lap) - self.lap
            if opened == len(self.rolls):
                return None
            rest, opened, fresh = self.rolls[opened], opened + 1, True
        return opened, rest - length
