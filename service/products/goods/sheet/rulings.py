"""The rules of the stock of sheets, as they hold for a layer."""

from __future__ import annotations

from service.products.goods.sheet.spec import SheetProduct
from service.products.layer import Layer
from service.products.layer import Task as TaskOf
from service.products.rulings import Ruling, SawingRulings, StockRulings


class SheetRulings(SawingRulings, StockRulings):
    """Rules of the stock of sheets; ticks."""

    __slots__ = ()

    min_strip = Ruling(int)


Task = TaskOf[Layer, SheetProduct, SheetRulings]
"""A layer that takes sheets, of whatever kind it is."""
