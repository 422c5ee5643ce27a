"""Fasteners of one piece of boards, at each bearing and between them (18.2, 18.3, 18.5)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from service.fastening.boards import AtCrossing, Pattern, Where, at_crossing
from service.fastening.spacing import least, points, points_left
from service.geometry.rings import Line
from service.joints.records import Places
from service.layout.bearings import BearingLine
from service.layout.blocks import FROM_END
from service.products.kinds.boarding.fastening.held_edges import HELD, HeldEdges
from service.products.kinds.boarding.fastening.leg_nails import counted_legs
from service.products.kinds.boarding.fastening.patterns import BLIND, EDGED
from service.products.kinds.boarding.legs import LegNail, frames_behind
from service.products.kinds.boarding.records import BoardPiece, Boards, LaidBoards, Pieces
from service.products.kinds.boarding.rulings import Task
from service.products.rows import PieceRow
from service.units.once import once

Counted: TypeAlias = Counter[tuple[str, str]]
"""Fasteners by (where, place)."""


def spacing_of(layer: LaidBoards) -> int | None:
    """How far apart at most boards are fastened that run with the members (18.5)."""
    return layer.task.rules.panel_spacing if layer.detail.along_framing else None


@dataclass(frozen=True)
class Nailing:
    """How the placed boards of a layer are fastened, piece by piece."""

    layer: LaidBoards
    pieces: Pieces
    pattern: Pattern

    @once
    def _edges(self) -> HeldEdges:
        return HeldEdges(self.layer.detail)

    @once
    def _behind(self) -> list[Line]:
        return frames_behind(self.layer)

    def of_piece(
        self, piece: BoardPiece, row: PieceRow, ends: Sequence[int], legs: Sequence[LegNail]
    ) -> Counted:
        """All fasteners of one piece; `ends` are those that nailers bear (15.3, 15.4).

        Whole boards that are alike, and lie alike on the bearings, are counted once.
        """
        where = _where(self.layer.detail, row)
        if legs or (self.pattern in EDGED and not self._edges.are_held(piece)):
            return self._counted(piece, row, where, ends, legs)
        cut, run = piece.cut, piece.run
        alike = (
            where, row.far - row.near, row.cut, cut.low, cut.high, run.low, run.high,
            id(self.layer.detail.line(run)), *ends,
        )  # fmt: skip
        if alike not in self._known:
            self._known[alike] = self._counted(piece, row, where, ends, legs)
        return self._known[alike]

    @once
    def _known(self) -> dict[object, Counted]:
        return {}

    def _counted(
        self, piece: BoardPiece, row: PieceRow, where: Where, ends: Sequence[int],
        legs: Sequence[LegNail],
    ) -> Counted:  # fmt: skip
        each = _at_crossing(self.layer.task, self.pattern, where, row)
        crossings, blocks = self._bearings(piece, row)
        free = _free_ends(self.pieces, piece, self.layer.detail)
        counts: Counted = Counter()
        if self.pieces.rules.places is Places.FRAMING_OR_BLOCK:
            blocks = [*blocks, *free]
        elif self._holds_in_panel:
            _count(counts, "joint end", "face", 2 * len(free))
        for places, named in ((crossings, where), (blocks, "block"), (ends, "nailer")):
            self._add_held(counts, piece, places, named, each)
        if each.clip and self.layer.task.rules.clip_ends:
            _count(counts, "end", "clip", 2)
        if legs:
            counts.update(counted_legs(self.layer, legs, self._behind))
        _count(counts, "short piece", "face", least(row.cut) - counts.total())
        return counts

    def _bearings(self, piece: BoardPiece, row: PieceRow) -> tuple[list[int], list[int]]:
        """Stations at which a piece is fastened: to members or a panel, and to rows of blocks."""
        spacing = spacing_of(self.layer)
        if spacing is None:
            return _crossed(self.pieces, piece, self.layer.detail), []
        return _along(self.layer, piece, row, spacing)

    @property
    def _holds_in_panel(self) -> bool:
        """Whether ends at a joint off the members are nailed; matched ones hold each other."""
        matched = self.layer.detail.board.end_matched
        return self.layer.task.ground.backing is not None and not matched

    def _add_held(
        self, counts: Counted, piece: BoardPiece, places: Sequence[int], named: str,
        each: AtCrossing,
    ) -> None:  # fmt: skip
        """Those at some bearings: an edge of the board that nothing holds is faced there (18.3)."""
        if not places:
            return
        edged = self.pattern in EDGED
        bare = self._edges.bare(piece, places) if edged else {HELD: len(places)}
        for (near, far), times in bare.items():
            lost = far and self.pattern in BLIND and each.blind > 0
            own = each.with_near_edge() if near else each
            own = own.without_tongue() if lost else own
            _add(counts, _named(named, own, each, lost=lost), own, times)


def _named(where: str, own: AtCrossing, each: AtCrossing, *, lost: bool) -> str:
    """Where fasteners are, of a field in which some boards have an edge that nothing holds."""
    if where != "field" or own == each:
        return where
    return "lost tongue" if lost else "open edge"


def _at_crossing(task: Task, pattern: Pattern, where: Where, row: PieceRow) -> AtCrossing:
    """Fasteners of a piece at one bearing, as if its tongue were whole."""
    count = task.rules.per_crossing if pattern in ("face", "glue_pin") else None
    return at_crossing(pattern, where, abs(row.far - row.near), count)


def _add(counts: Counted, where: str, each: AtCrossing, times: int) -> None:
    _count(counts, where, "blind", each.blind * times)
    _count(counts, where, "face", each.face * times)
    _count(counts, where, "clip", each.clip * times)


def _count(counts: Counted, where: str, place: str, more: int) -> None:
    """So many more, if there are any."""
    if more > 0:
        counts[where, place] += more


def _crossed(pieces: Pieces, piece: BoardPiece, boards: Boards) -> list[int]:
    """Stations at which a piece lies on the bearings that it touches, at its end at the latest."""
    line, cut = boards.line(piece.run), piece.cut
    touched = line.touched(cut.low, cut.high, pieces.rules.min_touch)
    found = list(line.stations[touched.start : touched.stop])
    if not found or (cut.low <= found[0] and found[-1] <= cut.high):
        return found
    return [min(max(at, cut.low), cut.high) for at in found]


def _along(
    layer: LaidBoards, piece: BoardPiece, row: PieceRow, spacing: int
) -> tuple[list[int], list[int]]:
    """Stations of a piece along the framing in the panel, and on blocks that it crosses (18.5).

    A point at a block stands for the nearest one in the panel.
    """
    rules, boards = layer.task.rules, layer.detail
    end = rules.end_distance
    low, high = piece.cut.low, piece.cut.high
    count = points(row.cut, spacing, end)
    if not boards.rows:
        return [low + at for at in points_left(high - low, count, end, ())], []
    rows, line = boards.rows, BearingLine(boards.rows, (), FROM_END)
    crossed = [rows[k] - low for k in line.touched(low, high, rules.min_touch)]
    left = points_left(high - low, count, end, crossed)
    return [low + at for at in left], [low + at for at in crossed]


def borne_of(piece: BoardPiece, borne: set[tuple[int, int, bool]]) -> list[int]:
    """The ends of a piece that backing bears: those of its run that it makes.

    `borne` has the course and the number of a run, and whether it is its low end.
    """
    cut, run = piece.cut, piece.run
    named = run.course, run.number
    low = [cut.low] if cut.low == run.low and (*named, True) in borne else []
    high = [cut.high] if cut.high == run.high and (*named, False) in borne else []
    return low + high


def _where(boards: Boards, row: PieceRow) -> Where:
    """A course alone is a first one; of lapped boards a last one, for nothing covers its top."""
    course = boards.laid.course(row.course)
    if course.first and not (boards.board.lapped and course.last):
        return "first"
    closed = boards.beside.closes(row.course, row.low, row.high)
    return "last" if course.last or closed else "field"


def _free_ends(pieces: Pieces, piece: BoardPiece, boards: Boards) -> list[int]:
    """Ends of a piece at joints that no member carries (6.2, 18.5)."""
    if pieces.rules.places is Places.FRAMING:
        return []
    line = boards.line(piece.run)
    ends = [at for at in (piece.cut.low, piece.cut.high) if piece.run.low < at < piece.run.high]
    return [at for at in ends if at not in line.stations]
