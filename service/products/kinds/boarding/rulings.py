"""The rules and choices of a layer of boards, as they hold for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, Literal

from service.errors import Ticks
from service.fastening.boards import Pattern
from service.geometry.edges import CORNERS, Edge
from service.geometry.wall_corners import SQUARE, bevel_of, reach_of
from service.products.goods.board.board import Board
from service.products.goods.board.rulings import BoardRulings
from service.products.goods.board.spec import BoardProduct
from service.products.goods.lumber.rulings import LumberRulings
from service.products.kinds.boarding.spec import BoardingLayer
from service.products.kinds.boarding.walls import Wall, Walls
from service.products.layer import Task as TaskOf
from service.products.moving import LEVEL, Moving
from service.products.rulings import BackingRulings, DrivingRulings, HoldRulings, Ruling
from service.schemas.written import read_length
from service.units.ticks import SIXTEENTH

COVERED: Final = frozenset({"covered", "inside_first"})
"""Edges whose gap something hides: a moulding, or the boards of the other wall."""

Start = Literal["balanced", "balanced_narrow", "full_first", "equal", "middle", "slid", "wrapped"]


@dataclass(frozen=True, slots=True)
class OneEach:
    """One joint for each so much of a run (ticks), at least one."""

    length: int

    def of(self, run: int) -> int:
        """How many joints a run of a length may have."""
        return max(1, run // self.length)


class BoardingRulings(BoardRulings, LumberRulings, HoldRulings, DrivingRulings, BackingRulings):
    """Rules and choices of a layer of boards; ticks, `min_bearings` a count, a lean in degrees."""

    __slots__ = ()

    layer: BoardingLayer

    overhang = Ruling(int)
    cut_wild = Ruling(int)
    min_rip = Ruling(int)
    unsawn = Ruling(int)
    taper_over = Ruling(int)
    feature_tolerance = Ruling(int)
    spacer_max = Ruling(int)
    min_piece = Ruling(int)
    min_bearings = Ruling(int)
    end_bearing = Ruling(int)
    stagger = Ruling(int)
    repeat = Ruling(int)
    joint_from_hole = Ruling(int)
    joint_beside_hole = Ruling(int)
    joint_from_panel_joint = Ruling(int)
    min_leg = Ruling(int)
    merge_holes = Ruling(int)
    long_hole = Ruling(int)
    min_run = Ruling(int)
    hanging_end = Ruling(int)
    end_distance = Ruling(int)
    panel_spacing = Ruling(int)
    block_spacing = Ruling(int)
    block_marks = Ruling(int)
    blind_up_to = Ruling(int)
    blind_angle = Ruling(Fraction)

    @property
    def covered(self) -> bool:
        """Whether a moulding covers the ends and edges (24)."""
        return self.choose("24", "edges", self.layer.edges, "covered") == "covered"

    @property
    def gap(self) -> int:
        """The gap at walls, all round, by whether a moulding covers it."""
        return self.value(int, "gap", "gap_bare" if self.layer.edges == "bare" else "gap_covered")

    def walls(self, edges: Sequence[Edge], thickness: int) -> Walls:
        """How the boards meet the walls: all round, but for `edges` of which something is said.

        At corners the other wall is as thick as this one, `thickness`, unless its own was sent.
        """
        covered = self.covered
        usual = Wall(self.gap, covered, gives=covered and self.as_sent("gap") is None)
        return Walls(usual, tuple((edge, self._wall(edge, usual, thickness)) for edge in edges))

    def _wall(self, edge: Edge, usual: Wall, thickness: int) -> Wall:
        """At an edge: what it is, and its own gap; each side of a mitre has half of it (24).

        Under the skins of a beam boards have none (5.9).
        """
        if edge.what == "beam":
            return Wall(0, covered=True)
        if edge.what in CORNERS or edge.what == "overhang":
            return self._beyond(edge, thickness)
        covered = usual.covered if edge.what in (None, "mitre") else edge.what in COVERED
        gap, source = edge.gap, "surface"
        if gap is None and edge.what == "tight":
            gap = 0
        elif gap is None:
            gap, source = self.silent("gap", "gap_covered" if covered else "gap_bare")
            gap = _hidden(edge, thickness, gap)
        used = gap // 2 if edge.what == "mitre" else gap
        self.note("24", f"edges.{edge.number}.gap", Ticks(used), source)
        gives = source == "default" and covered and edge.what in (None, "covered", "inside_first")
        return Wall(used, covered, edge.what == "tight", gives)

    def _beyond(self, edge: Edge, thickness: int) -> Wall:
        """At a corner of two walls, or at an overhang (3.16, 3.17)."""
        if edge.what == "overhang":
            return self._rim(edge)
        gap = reach_of(edge, thickness, edge.thickness)
        rule, source = "3.16", "default" if edge.thickness is None else "surface"
        self.note(rule, f"edges.{edge.number}.gap", Ticks(gap), source)
        return Wall(
            gap,
            covered=False,
            cut_in_place=edge.what == "inside_second",
            bevel=bevel_of(edge, thickness, edge.thickness),
        )

    def _rim(self, edge: Edge) -> Wall:
        """At an overhang: how far boards reach beyond it, and are laid wild there (3.17)."""
        over = self.overhang if edge.over is None else edge.over
        if edge.over is not None:
            self.note("3.17", f"edges.{edge.number}.gap", Ticks(-over), "surface")
        return Wall(-over, covered=False, wild=self.cut_wild)

    def least_exposure(self, coverage: int) -> int:
        """What must show of a lapped board; usually three quarters of what it may (3.15)."""
        return self.value(int, "least_exposure", usual=3 * coverage // 4)

    def preferred_rip(self, coverage: int) -> int:
        """How wide rips should be; usually half the coverage."""
        return self.value(int, "preferred_rip", usual=coverage // 2)

    @property
    def most_joints(self) -> OneEach | int | None:
        """How many joints a run should have at most; None without limit (6.3)."""
        entry = self.entry("most_joints")
        sent, source = self._sent("most_joints")
        if sent is None:
            each = read_length(entry["value"])
            self.note(entry["rule"], "most_joints", f"one in {entry['value']}", source)
            return OneEach(each)
        assert isinstance(sent, int | str)
        most = None if isinstance(sent, str) else sent
        self.note(entry["rule"], "most_joints", most, source)
        return most

    @property
    def per_crossing(self) -> int | None:
        """Face fasteners across a board at a bearing, as sent; None where its width says (18.3)."""
        if self.as_sent("per_crossing") is not None:
            return self.value(int, "per_crossing")
        self.note("18.3", "per_crossing", "by width", "default")
        return None

    def bays(self, usual: Literal["continuous", "per_bay"]) -> Literal["continuous", "per_bay"]:
        """Whether courses run on from bay to bay, or each bay is laid by itself (5.10, 3.18)."""
        return self.choose("5.10", "bays", self.layer.bays, usual)

    def start_side(self, usual: Literal["low", "high"]) -> Literal["low", "high"]:
        """The side, across the boards, on which course 1 lies (3.10, 3.16)."""
        return self.choose("3.10", "start_side", self.layer.start_side, usual)

    @property
    def spacer(self) -> int:
        """The open joint between courses: as sent, or as moisture asks for it (2.1, 3.14)."""
        asked, source = self._sent("spacer")
        if self.layer.spacer is None and isinstance(asked, int):
            self.note("3.14", "spacer", Ticks(asked), source)
            return asked
        return self.choose("2.1", "spacer", self.layer.spacer, 0)

    def moving(self, board: Board, over: int) -> Moving:
        """What boards that reach so far from side to side have to move in (3.14)."""
        return Moving(
            coverage=board.coverage,
            over=board.coverage if board.lapped else over,
            tongue=0 if board.lapped else board.lap,
            spacer=self.spacer,
            gap=self.gap,
            spacer_is_free=self.layer.spacer is None,
            gap_is_free=self._sent("gap")[1] in ("default", LEVEL),
            loose=board.lapped,
        )

    def start(self, usual: Start) -> Start:
        """How the odd width is shared (3.9)."""
        sent: Start | None = self.layer.start
        return self.choose("3.9", "start", sent, usual)

    @property
    def plates(self) -> bool:
        """Whether plates stand in the place of the first and the last row of blocks (15.2)."""
        return self.choose("15.2", "plates", self.layer.plates, default=False)

    def joints(self, usual: Literal["framing", "framing_or_block", "sheathing", "floating"]) -> str:
        """Where end joints may be (6.2)."""
        return self.choose("6.2", "joints", self.layer.joints, usual)

    def pattern(self, usual: Pattern) -> Pattern:
        """The nailing pattern (18.3)."""
        sent = self.layer.fastening
        return self.choose("18.3", "pattern", None if sent is None else sent.pattern, usual)

    @property
    def clip_ends(self) -> bool:
        """Whether each end of a piece has a clip of its own (18.3)."""
        sent = self.layer.fastening
        return self.choose("18.3", "clip_ends", sent.clip_ends if sent else None, False)

    def note_usual_face(self) -> None:
        """Enter that the coverage was held against the table of board patterns (2.2)."""
        self.note("2.2", "usual_face", None, "board_patterns")

    def note_spacer(self, used: int) -> None:
        """Enter the open joint between courses with which an aim is met (3.7)."""
        self.note("3.7", "spacer", Ticks(used), "aim")

    def note_turned(self, direction: Fraction) -> None:
        """Enter the direction of the boards when a taper was shared out, in degrees (3.8)."""
        self.note("3.8", "direction_used", float(direction), "taper")


Task = TaskOf[BoardingLayer, BoardProduct, BoardingRulings]
"""A layer of boards, ready to be laid."""


def _hidden(edge: Edge, thickness: int, gap: int) -> int:
    """The usual gap, or so much of it as the boards of the other wall hide (3.16).

    A square corner hides as much as they are thick; where walls turn by less it is less, and a lap
    of 1/16 in is left over it.
    """
    if edge.what != "inside_first" or edge.turn is None or edge.turn == SQUARE:
        return gap
    met = reach_of(replace(edge, what="inside_second"), thickness, edge.thickness)
    return min(gap, max(0, met - SIXTEENTH))
