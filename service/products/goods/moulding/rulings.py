"""The rules of the stock of mouldings, as they hold for what is cut of it."""

from __future__ import annotations

from fractions import Fraction

from service.errors import Ticks
from service.products.goods.moulding.spec import MouldingProduct
from service.products.layer import Layer
from service.products.layer import Task as TaskOf
from service.products.rulings import Ruling, StickRulings


class MouldingRulings(StickRulings):
    """Rules of the stock of mouldings; ticks, and an angle in degrees."""

    __slots__ = ()

    start_trim = Ruling(int)
    scarf_angle = Ruling(Fraction)


def squared(task: Task) -> int:
    """What squaring the end that a stick is sawn from takes: nothing where sticks come square."""
    rules: MouldingRulings = task.rules
    if task.product.meets != "butted" or rules.as_sent("start_trim") is not None:
        return rules.start_trim
    rules.note("17.2", "start_trim", Ticks(0), "product")
    return 0


def lapped_at(task: Task) -> float:
    """Degrees off square at which two pieces of a line meet: 0 where they butt (7.1)."""
    return 0.0 if task.product.meets == "butted" else float(task.rules.scarf_angle)


Task = TaskOf[Layer, MouldingProduct, MouldingRulings]
"""What takes a moulding, of whatever kind it is."""
