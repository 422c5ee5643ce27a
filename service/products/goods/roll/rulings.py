"""The rules of the stock of rolls, as they hold for a layer."""

from __future__ import annotations

from service.products.goods.roll.spec import RollProduct
from service.products.layer import Layer
from service.products.layer import Task as TaskOf
from service.products.rulings import Ruling, StockRulings


class RollRulings(StockRulings):
    """Rules of the stock of rolls; ticks."""

    __slots__ = ()

    wrap_end_lap = Ruling(int)
    end_lap_offset = Ruling(int)
    reuse_from = Ruling(int)


Task = TaskOf[Layer, RollProduct, RollRulings]
"""A layer that takes rolls, of whatever kind it is."""
