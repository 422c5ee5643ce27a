"""Readings of a resistance meter, put right for the temperature of the wood (26.2).

Wood Handbook (FPL-GTR-190), chapter 13: half a point for each 10 degrees F (5.6 degrees C) away
from the temperature for which the meter is calibrated, added where the wood is colder, taken off
where it is warmer; a meter is reliable from 4 to about 30 percent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

LEAST: Final = Fraction(4)
MOST: Final = Fraction(30)
"""Percent between which a meter can be relied on."""

_A_DEGREE: Final = Fraction(1, 2) / Fraction(50, 9)
"""Points for a degree Celsius."""


@dataclass(frozen=True, slots=True)
class Readings:
    """Readings of several boards or members at one time, percent, `hours` after the first visit.

    `temperature` is that of the wood, `calibrated_at` that of the meter's scale; degrees Celsius.
    """

    hours: int
    values: Sequence[Fraction]
    temperature: Fraction
    calibrated_at: Fraction

    @property
    def correction(self) -> Fraction:
        """Points to be added to each."""
        return (self.calibrated_at - self.temperature) * _A_DEGREE

    @property
    def read(self) -> Fraction:
        """The mean as it was read."""
        return Fraction(sum(self.values)) / len(self.values)

    @property
    def content(self) -> Fraction:
        """The mean, put right; never below zero."""
        return max(Fraction(0), self.read + self.correction)

    @property
    def is_reliable(self) -> bool:
        """Whether a meter can be relied on at every one of them."""
        return all(LEAST <= one <= MOST for one in self.values)
