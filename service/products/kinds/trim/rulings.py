"""The rules and choices of a layer of trim, as they hold for it."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from service.products.goods.board.rulings import BoardRulings
from service.products.goods.board.spec import BoardProduct
from service.products.goods.moulding.rulings import MouldingRulings
from service.products.goods.moulding.spec import MouldingProduct
from service.products.kinds.trim.spec import TrimLayer
from service.products.layer import Task as TaskOf
from service.products.rulings import DrivingRulings, Ruling


class TrimRulings(MouldingRulings, BoardRulings, DrivingRulings):
    """Rules and choices of a layer of trim; ticks, angles in degrees."""

    __slots__ = ()

    layer: TrimLayer

    overhang = Ruling(int)
    min_piece = Ruling(int)
    corner_over = Ruling(Fraction)
    reveal = Ruling(int)
    trim_spacing = Ruling(int)
    trim_bite = Ruling(int)
    end_distance = Ruling(int)

    @property
    def inside(self) -> Literal["by_angle", "coped", "mitred", "butted"]:
        """How pieces meet in inside corners (17.1); of what is set in all corners are mitred."""
        if self.layer.from_edge is not None and self.layer.inside is None:
            return "mitred"
        return self.choose("17.1", "inside", self.layer.inside, "by_angle")

    @property
    def frame(self) -> Literal["mitred", "butted"]:
        """How the corners of a frame are made (17.3)."""
        return self.choose("17.3", "frame", self.layer.frame, "mitred")

    @property
    def rows(self) -> int:
        """How many rows of nails run along it."""
        sent = None if self.layer.fastening is None else self.layer.fastening.rows
        rows = 1 if sent is None else sent
        self.note("18.1", "rows", rows, "default" if sent is None else "layer")
        return rows


Task = TaskOf[TrimLayer, MouldingProduct | BoardProduct, TrimRulings]
"""A layer of trim, ready to be laid."""

MouldingTask = TaskOf[TrimLayer, MouldingProduct, TrimRulings]
"""One that is cut of a moulding."""

BoardTask = TaskOf[TrimLayer, BoardProduct, TrimRulings]
"""One that is cut of boards."""


def of_mouldings(task: Task) -> MouldingTask | None:
    """The same, where it is cut of a moulding."""
    own = task.product
    return task.taking(own, task.product_pointer) if isinstance(own, MouldingProduct) else None


def of_boards(task: Task) -> BoardTask | None:
    """The same, where it is cut of boards."""
    own = task.product
    return task.taking(own, task.product_pointer) if isinstance(own, BoardProduct) else None
