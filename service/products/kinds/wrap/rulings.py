"""The rules and choices of a layer of wrap, as they hold for it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final, Literal

from service.errors import Ticks
from service.geometry.edges import Edge
from service.products.goods.roll.rulings import RollRulings
from service.products.goods.roll.spec import RollProduct
from service.products.goods.tape.rulings import TapeRulings
from service.products.kinds.wrap.spec import WrapLayer
from service.products.layer import Task as TaskOf
from service.products.rulings import DrivingRulings, Ruling
from service.units.ticks import whole

ROUND: Final[Mapping[str, Fraction]] = {
    "inside_first": Fraction(1),
    "inside_second": Fraction(0),
    "outside_lapping": Fraction(1),
    "outside_butting": Fraction(0),
    "outside_mitred": Fraction(1, 2),
}
"""The share of the lap by which the wrap of a wall goes on round a corner."""


class WrapRulings(RollRulings, TapeRulings, DrivingRulings):
    """Rules and choices of a layer of wrap; ticks, `deduct_over` in square feet."""

    __slots__ = ()

    layer: WrapLayer

    wrap_lap = Ruling(int)
    deduct_over = Ruling(Fraction)
    cap_spacing = Ruling(int)
    cap_seam = Ruling(int)
    cap_edge = Ruling(int)
    cap_rows = Ruling(int)
    cap_bite = Ruling(int)
    end_distance = Ruling(int)

    @property
    def turn_down(self) -> int:
        """How far wrap is turned down at each edge, as it ends there or joins a wall's (13.1)."""
        at_walls = self.choose("13.1", "at_walls", self.layer.at_walls, "turned")
        return self.value(int, "turn_down", f"turn_down_{at_walls}")

    def corner_lap(self, edge: Edge) -> int | None:
        """How far wrap goes on round a corner of walls; None where that is none (3.16, 13.1).

        That of the wall which runs into the corner, or laps the other, goes on by the lap of a
        roll's end, and the other ends there; at a mitre each goes on by half of it.
        """
        share = ROUND.get(edge.what or "")
        if share is None:
            return None
        lap = whole(self.wrap_end_lap * share)
        self.note("3.16", f"edges.{edge.number}.lap", Ticks(lap), "default")
        return lap

    @property
    def cap_edges(self) -> bool:
        """Whether caps go along the edges too (13.6)."""
        return self.choose("13.6", "cap_edges", self.layer.cap_edges, False)

    @property
    def tape_edges(self) -> bool:
        """Whether the edges are taped (13.5)."""
        return self.choose("13.5", "tape_edges", self.layer.tape_edges, False)

    def note_direction(self, used: Fraction) -> None:
        """Enter the direction in which the roll runs, in degrees (13.2)."""
        source = "default" if self.layer.direction is None else "layer"
        self.note("13.2", "direction", round(float(used), 6), source)

    def start_side(self, usual: Literal["low", "high"]) -> Literal["low", "high"]:
        """The side on which width 1 lies (13.4)."""
        return self.choose("13.4", "start_side", self.layer.start_side, usual)


Task = TaskOf[WrapLayer, RollProduct, WrapRulings]
"""A layer of wrap, ready to be laid."""
