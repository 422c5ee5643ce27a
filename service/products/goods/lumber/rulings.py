"""The rules of the stock of lumber, as they hold for what is cut of it."""

from __future__ import annotations

from service.products.goods.lumber.spec import LumberProduct
from service.products.layer import Layer
from service.products.layer import Task as TaskOf
from service.products.rulings import Ruling, StickRulings
from service.products.stock import Trims


class LumberRulings(StickRulings):
    """Rules of the stock of lumber; ticks."""

    __slots__ = ()

    end_trim = Ruling(int)

    @property
    def stick_trims(self) -> Trims:
        """What is trimmed off the raw ends of a stick, whatever becomes of them (8.1)."""
        return Trims(self.end_trim, self.end_trim)


Task = TaskOf[Layer, LumberProduct, LumberRulings]
"""What takes lumber, of whatever kind it is."""
