"""The rules and choices of a layer of sheets, as they hold for it."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from service.products.goods.sheet.rulings import SheetRulings
from service.products.goods.sheet.spec import SheetProduct
from service.products.kinds.sheathing.spec import SheathingLayer
from service.products.layer import Task as TaskOf
from service.products.rulings import BackingRulings, DrivingRulings, HoldRulings, Ruling


class SheathingRulings(SheetRulings, HoldRulings, DrivingRulings, BackingRulings):
    """Rules and choices of a layer of sheets; ticks, `panel_min_bearings` a count."""

    __slots__ = ()

    layer: SheathingLayer

    panel_gap = Ruling(int)
    panel_wall_gap = Ruling(int)
    panel_end_bearing = Ruling(int)
    panel_min_piece = Ruling(int)
    panel_min_bearings = Ruling(int)
    joint_from_corner = Ruling(int)
    min_run = Ruling(int)
    edge_distance = Ruling(int)

    def panel_stagger(self, usual: int) -> int:
        """How far end joints of neighbouring rows are apart; usually one member spacing."""
        return self.value(int, "panel_stagger", usual=usual)

    @property
    def spacings(self) -> tuple[int, int]:
        """Fastener spacing at edges, and elsewhere (18.7)."""
        sent = self.layer.fastening
        edge, field = (None, None) if sent is None else (sent.edge, sent.field)
        return self._spacing("edge", edge), self._spacing("field", field)

    def _spacing(self, key: str, sent: int | None) -> int:
        return self.choose("18.7", key, sent, self.value(int, key, f"panel_{key}"))

    @property
    def start_side(self) -> Literal["low", "high"]:
        """The side on which row 1 lies (11.4)."""
        return self.choose("11.4", "start_side", self.layer.start_side, "low")

    def edges(self, usual: Literal["open", "blocked"]) -> str:
        """What stands under edges that no member carries: `open` where nothing does (11.8)."""
        return self.choose("11.8", "edges", self.layer.edges, usual)

    def note_direction(self, used: Fraction) -> None:
        """Enter the direction of the sheets' length, in degrees as a request has it (11.1)."""
        source = "default" if self.layer.direction is None else "layer"
        self.note("11.1", "direction", float(used), source)


Task = TaskOf[SheathingLayer, SheetProduct, SheathingRulings]
"""A layer of sheets, ready to be laid."""
