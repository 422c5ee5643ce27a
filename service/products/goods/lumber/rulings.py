"""The rules of the stock of lumber, as they hold for what is cut of it."""

from __future__ import annotations

from service.products.goods.lumber.spec import LumberProduct
from service.products.layer import Layer
from service.products.layer import Task as TaskOf
from service.products.rulings import Ruling, StickRulings


class LumberRulings(StickRulings):
    """Rules of the stock of lumber; ticks."""

    __slots__ = ()

    end_trim = Ruling(int)


Task = TaskOf[Layer, LumberProduct, LumberRulings]
"""What takes lumber, of whatever kind it is."""
