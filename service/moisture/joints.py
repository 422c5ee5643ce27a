"""Joints and gaps that leave boards room to move, board by board and over the whole width (3.14).

Boards that are nailed one by one take their own change at their own joint: what swells must find
room there, what shrinks opens it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from service.units.ticks import ceiling, up


@dataclass(frozen=True, slots=True)
class Room:
    """What boards do between the driest and the dampest air that they will meet; exact ticks.

    `swells` and `shrinks` are of one board, `over_all` of all beside each other; none is below
    zero.
    """

    swells: Fraction
    shrinks: Fraction
    swells_over_all: Fraction
    shrinks_over_all: Fraction

    def spacer(self, slack: int, step: int) -> int:
        """The open joint that lets boards swell, beyond the `slack` that a joint has (ticks).

        A whole number of `step`s, which is what spacers are made in; 0 where the slack is enough.
        """
        short = ceiling(self.swells) - slack
        return up(short, step) if short > 0 else 0

    def gap(self, share: Fraction, step: int) -> int:
        """The gap at each wall that takes its `share` of the whole change, a multiple of `step`."""
        most = max(self.swells_over_all, self.shrinks_over_all)
        return up(ceiling(most * share), step)

    def opens_too_far(self, tongue: int, kept: int) -> bool:
        """Whether a joint opens until less than `kept` of the `tongue` is in its groove (ticks)."""
        return self.shrinks > tongue - kept
