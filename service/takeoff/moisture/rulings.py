"""What moisture is judged by, as it holds for a request."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from service.moisture.storing import Practice
from service.products.rulings import Ruling, Rulings
from service.units.ticks import INCH

NARROW: Final = 3 * INCH
"""A board that covers less may be farther apart from the wood behind it (26.3)."""


class MoistureRulings(Rulings):
    """Lengths in ticks, moisture in points, a share of one, hours and counts."""

    __slots__ = ()

    slack = Ruling(int)
    spacer_step = Ruling(int)
    gap_step = Ruling(int)
    gap_share = Ruling(Fraction)
    tongue_kept = Ruling(int)
    most_off = Ruling(Fraction)
    framing_most = Ruling(Fraction)
    steady = Ruling(Fraction)
    steady_hours = Ruling(int)
    least_readings = Ruling(int)
    bearer_spacing = Ruling(int)
    sticker_spacing = Ruling(int)
    sticker = Ruling(int)
    ground_clear = Ruling(int)
    cover_over = Ruling(int)

    def most_apart(self, coverage: int) -> Fraction:
        """Points by which boards may differ from the wood behind them, by what one covers."""
        name = "most_apart_narrow" if coverage < NARROW else "most_apart"
        return self.value(Fraction, "most_apart", name)

    @property
    def practice(self) -> Practice:
        """How boards are stacked (26.4)."""
        return Practice(
            self.bearer_spacing, self.sticker_spacing, self.sticker, self.ground_clear,
            self.cover_over,
        )  # fmt: skip

    def note_coefficient(self, used: Fraction, source: str) -> None:
        """Enter the coefficient of movement, and whether it was sent or is the table's."""
        self.note("26.5", "coefficient", float(used), source)
