"""The rules and choices of a layer of box beams, as they hold for it."""

from __future__ import annotations

from typing import Literal

from service.products.goods.board.rulings import BoardRulings
from service.products.goods.board.spec import BoardProduct
from service.products.goods.lumber.rulings import LumberRulings
from service.products.goods.sheet.rulings import SheetRulings
from service.products.goods.sheet.spec import SheetProduct
from service.products.kinds.box_beams.spec import BoxBeamLayer
from service.products.layer import Task as TaskOf
from service.products.rulings import BlockRulings, DrivingRulings, HoldRulings, Ruling


class BoxBeamRulings(
    BoardRulings, SheetRulings, LumberRulings, HoldRulings, DrivingRulings, BlockRulings
):
    """Rules and choices of box beams; ticks, `core_fasteners` a count."""

    __slots__ = ()

    layer: BoxBeamLayer

    end_trim = Ruling(int)
    core_play = Ruling(int)
    spring = Ruling(int)
    spring_from = Ruling(int)
    part_step = Ruling(int)
    min_piece = Ruling(int)
    part_stagger = Ruling(int)
    part_spacing = Ruling(int)
    end_distance = Ruling(int)
    core_fasteners = Ruling(int)
    ladder_spacing = Ruling(int)
    block_marks = Ruling(int)
    edge_trim = Ruling(int)

    @property
    def trimmed(self) -> int:
        """What is ripped off an edge of each board first: 0 unless squares are asked (16.7)."""
        asked = self.choose("16.7", "square_edges", self.layer.square_edges, default=False)
        return self.edge_trim if asked else 0

    def tuck(self, most: int) -> int:
        """How far boards reach under a beam: as sent, else the usual or the most there can be."""
        entry = self.silent("tuck", "tuck")[0]
        return self.value(int, "tuck", usual=min(entry, most))

    @property
    def mode(self) -> Literal["boards_over", "boards_to_beam", "between_blocking"]:
        """How boards and beams meet (5.9)."""
        return self.choose("5.9", "mode", self.layer.mode, "boards_to_beam")

    @property
    def corners(self) -> Literal["sides_outside", "bottom_over", "mitred"]:
        """How the skins meet along a beam (16.1)."""
        return self.choose("16.1", "corners", self.layer.corners, "sides_outside")

    @property
    def reveal(self) -> int:
        """How far a bottom is set up from the edges of the sides (16.1)."""
        return self.choose("16.1", "reveal", self.layer.reveal, 0)

    @property
    def crossings(self) -> Literal["butted", "mitred"]:
        """How two sets meet (16.3, 16.4)."""
        return self.choose("16.3", "crossings", self.layer.crossings, "butted")


Task = TaskOf[BoxBeamLayer, BoardProduct | SheetProduct, BoxBeamRulings]
"""A layer of box beams, ready to be laid."""

BoardTask = TaskOf[BoxBeamLayer, BoardProduct, BoxBeamRulings]
"""One whose skins are ripped from boards."""

SheetTask = TaskOf[BoxBeamLayer, SheetProduct, BoxBeamRulings]
"""One whose skins are ripped from sheets."""


def of_boards(task: Task) -> BoardTask | None:
    """The same, where its skins are ripped from boards."""
    board = task.product
    return task.taking(board, task.product_pointer) if isinstance(board, BoardProduct) else None


def of_sheets(task: Task) -> SheetTask | None:
    """The same, where its skins are ripped from sheets."""
    sheet = task.product
    return task.taking(sheet, task.product_pointer) if isinstance(sheet, SheetProduct) else None


def blank_of(task: Task) -> tuple[str, int]:
    """What a skin is ripped from, as its member of the product is called, and how wide that is."""
    product = task.product
    if isinstance(product, BoardProduct):
        return "overall", product.overall
    return "width", product.width
