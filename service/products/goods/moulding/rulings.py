"""The rules of the stock of mouldings, as they hold for what is cut of it."""

from __future__ import annotations

from fractions import Fraction

from service.products.goods.moulding.spec import MouldingProduct
from service.products.layer import Layer
from service.products.layer import Task as TaskOf
from service.products.rulings import Ruling, StickRulings


class MouldingRulings(StickRulings):
    """Rules of the stock of mouldings; ticks, and an angle in degrees."""

    __slots__ = ()

    start_trim = Ruling(int)
    scarf_angle = Ruling(Fraction)


Task = TaskOf[Layer, MouldingProduct, MouldingRulings]
"""What takes a moulding, of whatever kind it is."""
