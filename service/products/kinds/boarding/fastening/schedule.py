"""Fasteners of boards, counted over the placed pieces and what each of them touches."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final, Literal

from service.errors import Finding
from service.fastening.boards import AtCrossing, Pattern, Where, at_crossing
from service.fastening.reach import Reach, Way, blind_entry, reach_of
from service.fastening.spacing import least, points, points_left
from service.joints.records import Places
from service.layout.bearings import BearingLine
from service.layout.blocks import FROM_END
from service.layout.runs import Run
from service.products.fasteners import (
    NamedFastener,
    holding_length,
    named_clip,
    named_fastener,
    need_of,
)
from service.products.goods.fastener.spec import FastenerProduct
from service.products.kinds.boarding.fastening.glue import say_glue
from service.products.kinds.boarding.fastening.leg_nails import say_unbacked
from service.products.kinds.boarding.fastening.patterns import BLIND, pattern_of
from service.products.kinds.boarding.fastening.starter_nails import starter_nails
from service.products.kinds.boarding.fastening.tongues import Tongueless
from service.products.kinds.boarding.legs import LegNail, leg_nails
from service.products.kinds.boarding.records import (
    BoardPiece,
    Boards,
    LaidBoards,
    Pieces,
    PlacedBoards,
)
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.products.rows import FastenerRow, PieceRow
from service.units.writing import both, counted

_ALONG: Final = "points along the pieces"
_CROSSED: Final = "boards x framing"
"""What was counted: points at a spacing, or every board on every member."""

_OFF_MEMBERS: Final = ("joint end", "leg")
"""Where a panel holds, though the layer crosses members."""

AGAIN: Final = {
    "cut end": "ends cut in place x framing",
    "loosened": "boards x framing over new work behind",
}
"""Places in boards that were up, and what was counted there."""

Counted = Counter[tuple[str, str]]
"""Fasteners by (where, place)."""


def fasten(placed: PlacedBoards, said: Remarks) -> tuple[FastenerRow, ...]:
    """The fasteners of one layer, by where they are and whether they hide in the tongue."""
    layer = placed.laid
    pieces: Pieces = placed.detail
    pattern = pattern_of(layer, said)
    spacing = _spacing(layer)
    counts: Counted = Counter()
    unheld, legs = 0, list[LegNail]()
    borne = {(one.run, one.low) for one in pieces.borne}
    for piece, row in zip(pieces.all, pieces.rows, strict=True):
        ends = _borne(piece, borne)
        own = list(leg_nails(layer, piece))
        counts.update(_of_piece(layer, pieces, piece, row, pattern, ends, own))
        legs += own
        unheld += row.bearings + len(ends) < 2 and spacing is None
    _say_unheld(layer.task, said, unheld)
    say_unbacked(layer, said, legs)
    if pattern == "glue_pin":
        say_glue(layer.task, said)
    return (*rows_of(layer, pattern, counts, said), *starter_nails(placed, said))


def rows_of(
    layer: LaidBoards, pattern: Pattern, counts: Counted, said: Remarks
) -> tuple[FastenerRow, ...]:
    """A row for each place in which fasteners were counted, all of the shortest length that does.

    Raises TradeRefused where none of the lengths holds.
    """
    product, spacing = named_fastener(layer.task, said), _spacing(layer)
    clip = named_clip(layer.task, layer.task.layer.fastening, said) if pattern == "clip" else None
    chosen = _length(layer, product, {place for _, place in counts} - {"clip"}, said)
    return tuple(
        FastenerRow(
            surface=layer.task.surface.id,
            layer=layer.task.layer_id,
            product=clip if place == "clip" else None if product is None else product[0].id,
            where=where,
            pattern=pattern,
            place=place,
            spacing=None if where in ("block", *AGAIN) else spacing,
            count=count,
            counted=_counted(where, place, spacing),
            reach=_reach(layer, where, place, chosen),
        )
        for (where, place), count in sorted(counts.items())
    )


def _spacing(layer: LaidBoards) -> int | None:
    """How far apart at most boards are fastened that run with the members (18.5)."""
    return layer.task.rules.panel_spacing if layer.detail.along_framing else None


def _counted(where: str, place: str, spacing: int | None) -> str:
    """What was counted of the fasteners of one place."""
    if place == "clip" and where == "end":
        return "ends of pieces"
    if where in ("notch", "leg"):
        return "sides of cut-outs"
    if where in AGAIN:
        return AGAIN[where]
    return _ALONG if spacing and where != "block" else _CROSSED


def _of_piece(
    layer: LaidBoards,
    pieces: Pieces,
    piece: BoardPiece,
    row: PieceRow,
    pattern: Pattern,
    ends: list[int],
    legs: Sequence[LegNail],
) -> Counted:
    """All fasteners of one piece; `ends` are those that nailers bear (15.3, 15.4)."""
    boards: Boards = layer.detail
    where, spacing = _where(boards, row), _spacing(layer)
    each = _at_crossing(layer.task, pattern, where, row)
    hidden = pattern in BLIND and where != "last"
    faced = hidden and piece.tongue_lost
    if faced:
        each = each.without_tongue()
    crossings, blocks = _crossed(pieces, piece, boards), list[int]()
    if spacing is not None:
        crossings, blocks = _along(layer, piece, row, spacing)
    free = _free_ends(pieces, piece, boards)
    counts: Counted = Counter()
    if pieces.rules.places is Places.FRAMING_OR_BLOCK:
        blocks = [*blocks, *free]
    elif layer.task.ground.backing is not None and not boards.board.end_matched:
        # Matched ends hold each other: no nail for the joint (18.2).
        _count(counts, "joint end", "face", 2 * len(free))
    gone = Tongueless(boards, piece) if hidden else None
    for places, named in ((crossings, where), (blocks, "block"), (ends, "nailer")):
        lost = "lost tongue" if named == "field" else named
        if faced:
            _add(counts, lost, each, len(places))
            continue
        bare = sum(map(gone.at, places)) if gone else 0
        _add(counts, named, each, len(places) - bare)
        if bare:
            _add(counts, lost, each.without_tongue(), bare)
    if each.clip and layer.task.rules.clip_ends:
        _count(counts, "end", "clip", 2)
    _count(counts, "notch", "face", sum(one.borne for one in legs))
    _count(counts, "leg", "face", sum(not one.borne for one in legs))
    _count(counts, "short piece", "face", least(row.cut) - counts.total())
    return counts


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
    return [min(max(line.stations[k], cut.low), cut.high) for k in touched]


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


def _borne(piece: BoardPiece, borne: set[tuple[Run, bool]]) -> list[int]:
    """The ends of a piece that backing bears: those of its run that it makes."""
    cut, run = piece.cut, piece.run
    low = [cut.low] if cut.low == run.low and (run, True) in borne else []
    high = [cut.high] if cut.high == run.high and (run, False) in borne else []
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


def _say_unheld(task: Task, said: Remarks, unheld: int) -> None:
    over_panel = task.ground.backing is not None
    mend = "fasten their ends into the panel" if over_panel else "give the ends backing"
    if unheld:
        said.find(
            Finding(
                "piece-unheld",
                task.at,
                f"{counted(unheld, 'pieces')} {'touches' if unheld == 1 else 'touch'} fewer than "
                f"two members: {mend}",
                rule="5.6",
            )
        )


def _length(
    layer: LaidBoards, product: NamedFastener | None, places: set[str], said: Remarks
) -> int | None:
    """The shortest length that holds everywhere; refuses where none of the list does (18.11)."""
    if product is None:
        return None
    task, boards = layer.task, layer.detail
    if not places:
        return None  # all of it is clipped
    panel_only = boards.along_framing and not boards.rows
    _smooth_in_panel(layer, product[0], said)
    need = need_of(task, product[0].shank, said, "panel" if panel_only else "wood")
    ways = [_way(layer, place, in_panel=panel_only) for place in sorted(places)]
    return holding_length(task, product, ways, need, said)


def _smooth_in_panel(layer: LaidBoards, spec: FastenerProduct, said: Remarks) -> None:
    if layer.detail.along_framing and spec.shank == "smooth":
        said.find(
            Finding(
                "smooth-nail-in-panel",
                layer.task.at,
                "smooth nails do not hold in a panel "
                f"{both(layer.task.ground.backing or 0)} thick: use ring shanks or screws",
                rule="18.5",
            )
        )


def _way(layer: LaidBoards, place: str, *, in_panel: bool) -> Way:
    """How a fastener goes through the board and what lies behind it."""
    task, thickness = layer.task, layer.detail.board.thickness
    ground = task.ground
    carrier: Literal["panel", "framing"] = "panel" if in_panel else "framing"
    if place == "blind":
        lean = task.rules.blind_angle
        return Way(blind_entry(thickness), ground.plies, lean, carrier, ground.depth)
    return Way(thickness, ground.plies, carrier=carrier, depth=ground.depth)


def _reach(layer: LaidBoards, where: str, place: str, length: int | None) -> Reach | None:
    """How far the chosen length holds: in the framing, or in the panel where it meets no member."""
    if length is None or place == "clip":
        return None
    in_panel = (layer.detail.along_framing and where != "block") or where in _OFF_MEMBERS
    in_panel &= layer.task.ground.backing is not None
    return reach_of(length, _way(layer, place, in_panel=in_panel))
