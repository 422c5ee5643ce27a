"""The rules and choices of a layer of straps, as they hold for it."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from service.errors import Ticks
from service.products.goods.lumber.rulings import LumberRulings
from service.products.goods.lumber.spec import LumberProduct
from service.products.kinds.strapping.spec import StrappingLayer
from service.products.layer import Task as TaskOf
from service.products.rulings import DrivingRulings, HoldRulings, Ruling


class StrappingRulings(LumberRulings, HoldRulings, DrivingRulings):
    """Rules and choices of a layer of straps; ticks, `strap_fasteners` a count."""

    __slots__ = ()

    layer: StrappingLayer

    strap_spacing = Ruling(int)
    strap_edge = Ruling(int)
    strap_fasteners = Ruling(int)

    @property
    def equal(self) -> bool:
        """Whether all bays are alike, and not full ones and a short one (14.1)."""
        return self.choose("14.1", "lines", self.layer.lines, "equal") == "equal"

    @property
    def doubled(self) -> bool | Literal["joints"]:
        """Whether each strap is two side by side, or those under joints alone (14.2)."""
        return self.choose("14.2", "doubled", self.layer.doubled, default=False)

    def note_direction(self, used: Fraction) -> None:
        """Enter the direction of the straps' length, in degrees as a request has it (14.1)."""
        source = "default" if self.layer.direction is None else "layer"
        self.note("14.1", "direction", float(used), source)

    def note_corner(self, number: int, off: int) -> None:
        """Enter how far straps keep off a corner of walls, under 0 beyond it (3.16)."""
        self.note("3.16", f"edges.{number}.gap", Ticks(off), "default")

    def note_first(self, at: int) -> None:
        """Enter where the first strap was asked to stand (14.1)."""
        self.choose("14.1", "first", self.layer.first, at)


Task = TaskOf[StrappingLayer, LumberProduct, StrappingRulings]
"""A layer of straps, ready to be laid."""
