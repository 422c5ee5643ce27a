"""What a layer can want of a roll, and its share of the plan that is made for all of them."""

from __future__ import annotations

from dataclasses import dataclass

from service.cutting.rolls import Laps, RollPiece
from service.layout.widths import RollStrip
from service.products.form import Need as NeedOf
from service.products.goods.roll.rulings import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Widths:
    """Strips in the order in which they are laid; widths of one layer are neighbours.

    `tried` are the strips of every way in which they could run, for the bound on every plan.
    """

    strips: tuple[RollStrip, ...]
    tried: tuple[tuple[RollStrip, ...], ...]


@dataclass(frozen=True, slots=True)
class WayRun:
    """The number of the way, of those that a layer could run, in which it is to run."""

    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RollShare:
    """What one need gets: the pieces of each of its strips, and the names of all rolls."""

    off: tuple[tuple[RollPiece, ...], ...]
    rolls: tuple[str, ...]
    laps: Laps


Need = NeedOf[Task, Widths, RollShare]
"""What a layer wants of a roll."""
