"""Boards on a surface: direction, region, courses and runs; joints come with the stock."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from service.geometry.frame import Frame, frame_of
from service.geometry.plane import difference, union
from service.geometry.rings import Region, bounds, twice_area
from service.layout.bearings import Bearing, bearings_of, lines_of
from service.layout.legs import Met
from service.layout.panel_joints import crossed, seams_of
from service.layout.runs import Course, parts_met, together
from service.products.goods.board.board import Board
from service.products.ground import Offered
from service.products.kinds.boarding.findings.board_sizes import checked_board
from service.products.kinds.boarding.findings.course_findings import say_what_was_laid
from service.products.kinds.boarding.laying.bays import fields_of
from service.products.kinds.boarding.laying.beside_up import beside_up
from service.products.kinds.boarding.laying.block_lines import with_blocks
from service.products.kinds.boarding.laying.course_rows import alternatives, course_rows
from service.products.kinds.boarding.laying.direction import direction_of, turn_of
from service.products.kinds.boarding.laying.field import (
    LaidField,
    Place,
    check_members,
    lay_field,
)
from service.products.kinds.boarding.laying.gaps import walls_of
from service.products.kinds.boarding.laying.tapers import tapers_of
from service.products.kinds.boarding.records import Boards, LaidBoards
from service.products.kinds.boarding.rulings import Task
from service.products.laid_rows import OpeningRow
from service.products.layer import Areas, LaidLayer
from service.products.opening_rows import opening_rows
from service.products.remarks import Remarks


def lay(task: Task, said: Remarks) -> LaidBoards:
    """Lay the boards of one layer; raises TradeRefused where no course can be laid."""
    board = checked_board(task, said)
    direction = direction_of(task)
    turn = turn_of(task, task.surface.outline, direction, said)
    frame = frame_of(task.surface.outline, direction, turn)
    task, rows = with_blocks(task, board, frame_of(task.surface.outline, direction))
    bearings = bearings_of(task.ground.bearings, frame)
    laid: list[LaidField] = []
    tasks = fields_of(task, frame)
    for bay, own in enumerate(tasks, start=1):
        place = Place(bay, laid[-1].field.laid.courses[-1].number) if laid else Place(bay)
        place = place if len(tasks) > 1 else Place()
        laid.append(lay_field(own, board, frame, bearings, place))
    fields = [one.field for one in laid]
    if len(fields) > 1:
        check_members(task, bearings, tuple(part for one in fields for part in one.region))
    boards = replace(
        _boards(task, board, frame, bearings, laid),
        rows=rows if task.ground.between or not bearings else (),
    )
    say_what_was_laid(task, said, boards, fields)
    for one in laid:
        one.say(said, board)
    gaps = tuple(gap for one in laid for gap in one.gaps(board, frame))
    return replace(_layer(task, direction + turn, boards, laid), gaps=gaps)


def _boards(
    task: Task,
    board: Board,
    frame: Frame,
    bearings: tuple[Bearing, ...],
    laid: Sequence[LaidField],
) -> Boards:
    """All fields of a layer as one."""
    whole = together([one.field.laid for one in laid])
    walls = walls_of(task, board)
    holes = [hole for one in laid for hole in one.room.holes]
    lines = lines_of(bearings, (one.middle for one in whole.courses))
    return Boards(
        board=board,
        frame=frame,
        region=tuple(part for one in laid for part in one.field.region),
        laid=whole,
        bearings=bearings,
        lines=dict(zip((one.number for one in whole.courses), lines, strict=True)),
        perimeter=walls.perimeter(task.surface.parts, frame),
        extent=max(frame.to(corner)[0] for corner in task.surface.outline),
        panel_joints=_panel_joints(task, frame, whole.courses),
        openings={hole.name: hole.openings for hole in holes},
        flanged=frozenset(
            hole.name for hole in holes if hole.cover and not difference(hole.cut, hole.cover)
        ),
        beside=beside_up(task, frame, whole),
        on_rows=bool(task.ground.between),
    )


def _panel_joints(
    task: Task, frame: Frame, courses: Sequence[Course]
) -> dict[int, tuple[int, ...]]:
    """Where each course crosses joints of the panels behind, by its number."""
    seams = seams_of(task.ground.joints, frame)
    return {course.number: crossed(seams, course.middle) for course in courses}


def _layer(
    task: Task, direction: Fraction, boards: Boards, fields: Sequence[LaidField]
) -> LaidBoards:
    laid = boards.laid
    tapers = tapers_of(boards.frame.region(task.surface.parts), laid)
    region = twice_area(boards.region)
    left = twice_area(laid.dropped) + laid.open_joints
    # What snapping moved stays in the region; it is the ledger's own account.
    return LaidLayer(
        task=task,
        direction=direction,
        frame=boards.frame,
        areas=Areas(installed=region - left, region=region),
        openings=_openings(task, boards, fields),
        courses=tuple(
            row for one in fields for row in course_rows(one.field, boards.board, tapers)
        ),
        alternatives=tuple(row for one in fields for row in alternatives(one.field)),
        detail=boards,
        offered=Offered(boards.board.thickness, rest=_rest(boards)),
        moving=task.rules.moving(boards.board, max(map(_across, fields))),
    )


def _across(one: LaidField) -> int:
    """How far the boards of a field reach from side to side (ticks)."""
    _, _, near, far = bounds(one.field.region)
    return far - near


def _rest(boards: Boards) -> int | None:
    """What the last course leaves of its board's face; None where it is laid whole."""
    last = boards.laid.courses[-1]
    if last.rip != "end" or boards.board.lapped:
        return None
    return boards.board.coverage - last.face


def _openings(task: Task, boards: Boards, fields: Sequence[LaidField]) -> tuple[OpeningRow, ...]:
    """A row for each opening, in whichever fields it lies."""
    inset = tuple(part for one in fields for part in one.inset)
    cuts: dict[tuple[str, ...], Region] = {}
    for names, shape in (cut for one in fields for cut in one.cuts):
        cuts[names] = union([cuts[names], shape]) if names in cuts else shape
    known = {hole.cut: hole for one in fields for hole in one.opened if not hole.outline}

    def met(courses: tuple[Course, ...], shape: Region) -> Iterable[Met]:
        hole = known.get(shape)
        return parts_met(courses, shape) if hole is None else hole.parts(courses)

    return opening_rows(task, boards.frame, list(cuts.items()), inset, boards.laid.courses, met)
