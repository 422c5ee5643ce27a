"""The rules and choices of a layer of sheets, as they hold for it."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from service.errors import Ticks
from service.geometry.edges import CORNERS, Edge, Margins
from service.geometry.frame import Frame
from service.geometry.wall_corners import BevelledCorner, bevelled_corners, reach_of
from service.products.goods.lumber.rulings import LumberRulings
from service.products.goods.sheet.rulings import SheetRulings
from service.products.goods.sheet.spec import SheetProduct
from service.products.goods.tape.rulings import TapeRulings
from service.products.kinds.sheathing.spec import SheathingLayer
from service.products.layer import Task as TaskOf
from service.products.rulings import BackingRulings, DrivingRulings, HoldRulings, Ruling
from service.units.ticks import INCH, MM, SIXTY_FOURTH, nearest


class SheathingRulings(
    SheetRulings, LumberRulings, TapeRulings, HoldRulings, DrivingRulings, BackingRulings
):
    """Rules and choices of a layer of sheets; ticks, `panel_min_bearings` a count."""

    __slots__ = ()

    layer: SheathingLayer

    panel_end_bearing = Ruling(int)
    panel_min_piece = Ruling(int)
    panel_min_bearings = Ruling(int)
    joint_from_corner = Ruling(int)
    min_run = Ruling(int)
    edge_distance = Ruling(int)
    trim_spacing = Ruling(int)
    trim_bite = Ruling(int)
    end_distance = Ruling(int)

    def panel_gap(self, sheet: SheetProduct) -> int:
        """The gap between sheets; those that show lie tight (11.1, 12.1)."""
        return self.value(int, "panel_gap", "panel_gap_shown" if sheet.shows else None)

    def panel_wall_gap(self, sheet: SheetProduct) -> int:
        """The gap at walls; of sheets made for gaps usually half of what is between them (11.2).

        Their first joint then lies on a member, and no whole sheet is trimmed.
        """
        gap = self.panel_gap(sheet)
        if gap and all(_fits(stock.length + gap) for stock in sheet.stock):
            return self.value(int, "panel_wall_gap", "panel_wall_gap_made_for_gaps", gap // 2)
        return self.value(int, "panel_wall_gap")

    @property
    def level(self) -> bool:
        """Whether the end joints of all rows lie in the same lines (12.3)."""
        return self.choose("12.3", "end_joints", self.layer.end_joints, "staggered") == "level"

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

    @property
    def patches(self) -> Literal["rows", "blocks"]:
        """How sheets that are up are patched: in whole rows, or with edges on blocks (21.4)."""
        return self.choose("21.4", "patches", self.layer.patches, "rows")

    def note_direction(self, used: Fraction, rule: str = "11.1") -> None:
        """Enter the direction of the sheets' length, in degrees as a request has it (11.1)."""
        source = "default" if self.layer.direction is None else "layer"
        self.note(rule, "direction", float(used), source)


MODULES = 12 * INCH, 300 * MM
"""What usual spacings of members divide, or are divided by, once or some times (0.7)."""


def _fits(step: int) -> bool:
    """Whether sheets that follow each other at this step keep to the module of usual framing."""
    return any(abs(step - nearest(step, module)) <= SIXTY_FOURTH for module in MODULES)


Task = TaskOf[SheathingLayer, SheetProduct, SheathingRulings]
"""A layer of sheets, ready to be laid."""


def is_backed(task: Task) -> bool:
    """Whether what must stand behind these sheets is counted: not on a panel nor on strapping."""
    bare = task.ground.depth is None and task.ground.backing is None
    return task.rules.backing == "count" and bare


def margins_of(task: Task) -> Margins:
    """The gap of sheets at walls; at a mitre half of what is between sheets (11.2).

    An edge's own gap is that of boards.
    """
    told = ((edge, _at(task, edge)) for edge in task.surface.edges)
    usual = task.rules.panel_wall_gap(task.product)
    return Margins(usual, tuple((edge, width) for edge, width in told if width is not None))


def _at(task: Task, edge: Edge) -> int | None:
    """How far sheets keep off an edge; None where they do so as at any wall."""
    if edge.what == "mitre":
        return task.rules.panel_gap(task.product) // 2
    return _at_corner(task, edge) if edge.what in CORNERS else None


def bevelled(task: Task, frame: Frame) -> tuple[BevelledCorner, ...]:
    """The corners along which sheets that show are bevelled; others are hidden and stay square."""
    if not task.product.shows:
        return ()
    thick = task.ground.thick + task.product.thickness
    return bevelled_corners(task.surface.edges, frame, thick, alike=False)


def _at_corner(task: Task, edge: Edge) -> int:
    """Where two walls meet the other is as thick as this one up to the sheets (3.16).

    Of sheets that show it is as thick as was sent. Others keep their gap from the face that they
    run into.
    """
    rules, sheet = task.rules, task.product
    thick = task.ground.thick + sheet.thickness
    other = edge.thickness if sheet.shows else None
    source = "default" if other is None else "surface"
    off = reach_of(edge, thick, other)
    if edge.what == "inside_second" and not sheet.shows:
        off += rules.panel_wall_gap(sheet)
    rules.note("3.16", f"edges.{edge.number}.gap", Ticks(off), source)
    return off
