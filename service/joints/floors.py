"""What a layout costs at least, by the prices at which others were judged before it.

What pieces cost grows ever faster with how many are wanted of each. So the prices of one layout say
what any other costs at least, as long as it is cut by the same patterns: most changes that would be
dearer need not be judged at all.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

MOST_FLOORS = 24
"""Layouts that are remembered, the latest."""

Amounts = npt.NDArray[np.float64]


class Floors:
    """Costs and prices of layouts that were judged, and what each says of the layout at hand.

    What is asked for of each need is told in one order of the needs throughout.
    """

    def __init__(self, asked: Sequence[float]) -> None:
        self._at = list(asked)
        self._worths: Amounts = np.zeros((len(asked), MOST_FLOORS))
        self._here: Amounts = np.full(MOST_FLOORS, -np.inf)
        self._judged = 0

    def add(self, cost: float, worths: Sequence[float], asked: Sequence[float]) -> None:
        """Remember what was judged: its cost, what a piece of each need is worth, what it asks."""
        place = self._judged % MOST_FLOORS
        self._judged += 1
        self._worths[:, place] = worths
        self._here[place] = cost
        self._here[place] = self._moved(asked, self._at)[place]

    def move(self, asked: Sequence[float]) -> None:
        """The layout at hand is another one now."""
        self._here = self._moved(self._at, asked)
        self._at = list(asked)

    def least(self, asked: Sequence[float]) -> float:
        """What a layout costs at least."""
        return float(self._moved(self._at, asked).max())

    def _moved(self, before: Sequence[float], after: Sequence[float]) -> Amounts:
        """What each says of one layout, from what it says of another, need by need."""
        made = self._here.copy()
        for row, (old, new) in enumerate(zip(before, after, strict=True)):
            if old != new:
                made += self._worths[row] * (new - old)
        return made
