"""Fasteners of boards that stay up: at ends that are cut, and over new work behind (18.2, 21.4)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from service.fastening.boards import AtCrossing, Pattern, Where, at_crossing
from service.fastening.spacing import points
from service.geometry.plane import intersection, without_slivers
from service.geometry.rings import Region, bounds
from service.layout.runs import SNAPPED, Course
from service.products.kinds.boarding.fastening.patterns import pattern_of
from service.products.kinds.boarding.fastening.schedule import rows_of
from service.products.kinds.boarding.records import BoardPiece, LaidBoards, PlacedBoards
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.standing import Reopened, Stay
from service.units.ticks import INCH


def fasten_again(
    placed: PlacedBoards, after: PlacedBoards, opened: Reopened, said: Remarks
) -> tuple[FastenerRow, ...]:
    """What boards take anew that stay up: at ends cut on framing, and where they were loosened.

    A cut end is faced, for its tongue lies in the next board.
    """
    layer, counts = after.laid, Counter[tuple[str, str]]()
    pattern, over = pattern_of(layer, said), layer.frame.region(opened.over)
    pieces = {one.id: one for one in placed.detail.all}
    for stay in (one for one in opened.stays if one.piece in pieces):
        piece = pieces[stay.piece]
        course = _course(placed.laid.detail.course(piece.run), layer)
        each = _each(layer, pattern, course)
        ends = sum(_is_borne(at, course, after) for at in _cut_ends(stay, piece))
        counts["cut end", "face"] += ends * (each.blind + each.face + each.clip)
        loose = _loosened(stay.shape or piece.shape, over, course, layer) if over else 0
        counts["loosened", "blind"] += loose * each.blind
        counts["loosened", "face"] += loose * each.face
        counts["loosened", "clip"] += loose * each.clip
    return rows_of(layer, pattern, +counts, said)


def _course(was: Course, layer: LaidBoards) -> Course:
    """The course of the second job that lies where one of the first did."""
    same = (one for one in layer.detail.laid.courses if (one.low, one.high) == (was.low, was.high))
    return next(same)


def _each(layer: LaidBoards, pattern: Pattern, course: Course) -> AtCrossing:
    """What a board of a course takes at a bearing."""
    rules = layer.task.rules
    count = rules.per_crossing if pattern in ("face", "glue_pin") else None
    where: Where = "first" if course.first else "last" if course.last else "field"
    return at_crossing(pattern, where, course.high - course.low, count)


def _cut_ends(stay: Stay, piece: BoardPiece) -> Iterator[int]:
    """The stations at which a board was cut through."""
    if stay.shape:
        low, high, *_ = bounds(stay.shape)
        yield from (a for a, b in ((low, piece.cut.low), (high, piece.cut.high)) if a != b)


def _is_borne(at: int, course: Course, after: PlacedBoards) -> bool:
    """Whether a member, or backing that is set for the end of a run, carries an end."""
    line = after.laid.detail.lines[course.number]
    runs = (one.run.low if one.low else one.run.high
            for one in after.detail.borne if one.run.course == course.number)  # fmt: skip
    on_member = any(abs(at - one) <= line.half for one in line.stations)
    return on_member or any(abs(at - one) <= SNAPPED for one in runs)


def _loosened(shape: Region, over: Region, course: Course, layer: LaidBoards) -> int:
    """At how many places a board is held over new work behind it."""
    parts = without_slivers(intersection(shape, over), INCH // 2)
    rules, boards = layer.task.rules, layer.detail
    if boards.along_framing:
        lengths = (high - low for low, high, *_ in (part.box for part in parts))
        return sum(points(one, rules.panel_spacing, rules.end_distance) for one in lengths)
    stations = boards.lines[course.number].stations
    boxes = [part.box for part in parts]
    return sum(any(low <= at <= high for low, high, *_ in boxes) for at in stations)
