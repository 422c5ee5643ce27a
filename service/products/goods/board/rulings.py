"""The rules of the stock of boards, as they hold for a layer."""

from __future__ import annotations

from fractions import Fraction

from service.products.goods.board.spec import BoardProduct
from service.products.layer import Layer
from service.products.layer import Task as TaskOf
from service.products.rulings import Ruling, StickRulings


class BoardRulings(StickRulings):
    """Rules of the stock of boards; `offcut_value` in percent."""

    __slots__ = ()

    offcut_value = Ruling(Fraction)

    def end_trim(self, *, end_matched: bool) -> int:
        """Ticks that are trimmed off each end of a stick (8.1)."""
        ends = "end_matched" if end_matched else "square"
        return self.value(int, "end_trim", f"end_trim_{ends}")


Task = TaskOf[Layer, BoardProduct, BoardRulings]
"""A layer that takes boards, of whatever kind it is."""
