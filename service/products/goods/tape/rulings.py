"""The rules of buying tape, as they hold for a layer."""

from __future__ import annotations

from fractions import Fraction

from service.products.rulings import Ruling, Rulings


class TapeRulings(Rulings):
    """Rules of buying tape; percent."""

    __slots__ = ()

    tape_loss = Ruling(Fraction)
