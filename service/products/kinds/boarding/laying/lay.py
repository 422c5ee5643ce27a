"""Boards on a surface: direction, region, courses and runs; joints come with the stock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.edges import Margins
from service.geometry.frame import Frame, frame_of
from service.geometry.holes import Hole, holes_of
from service.geometry.plane import difference, union
from service.geometry.rings import Region, bounds, twice_area
from service.layout.bearings import Bearing, bearings_of, line_of
from service.layout.legs import FramedHole, Leg, cut_out, narrow_legs
from service.layout.panel_joints import PanelJointLine, seams_of
from service.layout.ranking import Ranked
from service.layout.runs import Course, Laid, lay_runs, placed_courses, to_whole_courses
from service.layout.steps import beside, notches_of
from service.products.goods.board.board import Board
from service.products.ground import Offered
from service.products.kinds.boarding.findings.board_sizes import checked_board
from service.products.kinds.boarding.findings.course_findings import say_what_was_laid
from service.products.kinds.boarding.findings.hole_findings import say_holes, say_legs
from service.products.kinds.boarding.laying.choosing import choose, starts_at_low_side, ways_of
from service.products.kinds.boarding.laying.course_rows import alternatives, course_rows
from service.products.kinds.boarding.laying.direction import direction_of, turn_of
from service.products.kinds.boarding.laying.gaps import check_gaps, nothing_left
from service.products.kinds.boarding.laying.least_widths import least_legs
from service.products.kinds.boarding.laying.open_gaps import open_gaps
from service.products.kinds.boarding.laying.shift_cure import shift_cure
from service.products.kinds.boarding.laying.tapers import tapers_of
from service.products.kinds.boarding.laying.unsawn import (
    Unsawn,
    narrowed,
    narrowest_last,
    say_unsawn,
    unsawn,
    with_whole,
    within_lines,
)
from service.products.kinds.boarding.records import Boards, LaidBoards
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.walls import Perimeter, Wall, Walls
from service.products.laid_rows import OpeningRow
from service.products.layer import Areas, LaidLayer
from service.products.opening_rows import opening_rows
from service.products.remarks import Remarks
from service.units.ticks import INCH, SIXTEENTH, SIXTY_FOURTH


@dataclass(frozen=True, slots=True)
class Room:
    """The room that boards have: the outline less its gaps, and the holes in it.

    `walls` are those around it, `margins` the gaps that are kept there, `inset` the outline less
    those, `region` that less the holes.
    """

    walls: Walls
    margins: Margins
    inset: Region
    region: Region
    holes: tuple[Hole, ...]


def lay(task: Task, said: Remarks) -> LaidBoards:
    """Lay the boards of one layer; raises TradeRefused where no course can be laid."""
    board, room = checked_board(task, said), _room(task)
    direction = direction_of(task)
    turn = turn_of(task, task.surface.outline, direction, said)
    frame = frame_of(task.surface.outline, direction, turn)
    bearings = bearings_of(task.ground.bearings, frame)
    if task.ground.backing is None:
        _check_members(task, bearings, frame.region(room.region))
    walls = task.surface.less_openings_at_edges(room.inset)
    inset = frame.region(room.inset)
    middle = max(frame.to(corner)[1] for corner in task.surface.outline) // 2
    perimeter = room.walls.perimeter(task.surface.parts, frame)
    first, last = _first_and_last(perimeter, inset, starts_at_low_side(task))
    covered = all(wall.covered for wall in first)
    every = room.walls.perimeter(task.surface.parts, frame, whole=True)
    ways = ways_of(task, board, covered, inset, frame.region(walls), middle, every.gives)
    chosen, found = choose(task, ways, frame, board)
    courses = placed_courses(chosen.scheme, inset, ways.starts_low)
    left = unsawn(task, board, ways, every, frame, courses, chosen.scheme.spacer)
    last_gap = narrowest_last(left, last, inset, courses)
    if left:
        room = _narrowed(task, room, left)
        courses, inset = with_whole(courses, left), within_lines(frame.region(room.inset), left)
    courses = _last_without_tongue(board, courses, last_gap)
    holes = [FramedHole(one.name, frame.region(one.cut), frame.region(one.cover))
             for one in room.holes]  # fmt: skip
    holes += _steps(inset)
    legs = narrow_legs(courses, holes, partial(least_legs, task, board))
    whole, laid, opened = _laid(task, room, frame, courses, holes, legs, left)
    boards = Boards(
        board=board,
        frame=frame,
        region=whole,
        laid=laid,
        bearings=bearings,
        lines=tuple(line_of(bearings, course.middle) for course in courses),
        perimeter=perimeter,
        first_covered=covered,
        last_gap=last_gap,
        extent=max(frame.to(corner)[0] for corner in task.surface.outline),
        spacer=chosen.scheme.spacer,
        seams=_seams(task, frame),
        openings={hole.name: hole.openings for hole in room.holes},
        flanged=frozenset(
            hole.name for hole in room.holes if hole.cover and not difference(hole.cut, hole.cover)
        ),
    )
    cuts = [(hole.openings, one.cut) for hole, one in zip(room.holes, opened, strict=False)]
    openings = opening_rows(task, frame, cuts, inset, courses)
    say_what_was_laid(task, said, boards, chosen, ways)
    say_unsawn(task, said, left, courses)
    say_holes(task, said, room.holes, laid, board)
    say_legs(task, said, legs, partial(shift_cure, task, board, ways, courses, holes))
    layer = _layer(task, direction + turn, boards, openings, (chosen, found))
    return replace(
        layer, gaps=tuple(open_gaps(task, room.walls, left, laid.courses[0], board, frame))
    )


def _room(task: Task) -> Room:
    """The room that the boards have; refused where it is none."""
    walls = task.rules.walls(task.surface.edges)
    inset = walls.margins.inset(task.surface.parts)
    holes = holes_of(task.surface.openings, task.rules.merge_holes)
    region = difference(inset, union(hole.cut for hole in holes))
    if not region:
        raise TradeRefused(nothing_left(task, walls))
    check_gaps(task, walls)
    return Room(walls, walls.margins, inset, region, holes)


def _narrowed(task: Task, room: Room, left: Sequence[Unsawn]) -> Room:
    """The room with what courses that stay whole take of its gaps."""
    margins = narrowed(room.margins, left)
    inset = margins.inset(task.surface.parts)
    region = difference(inset, union(hole.cut for hole in room.holes))
    return replace(room, margins=margins, inset=inset, region=region)


def _first_and_last(
    perimeter: Perimeter, inset: Region, starts_low: bool
) -> tuple[Sequence[Wall], Sequence[Wall]]:
    """The walls beside which the first and the last course lie."""
    _, _, low, high = bounds(inset)
    below, above = perimeter.along(low, high=False), perimeter.along(high, high=True)
    return (below, above) if starts_low else (above, below)


def _laid(
    task: Task,
    room: Room,
    frame: Frame,
    courses: tuple[Course, ...],
    holes: Sequence[FramedHole],
    legs: Sequence[Leg],
    left: Sequence[Unsawn],
) -> tuple[Region, Laid, list[FramedHole]]:
    """The region that is boarded, in stations, the runs of its courses, and the holes as cut."""
    nearer = room.margins.less(SIXTY_FOURTH).inset(task.surface.parts)
    wider = frame.region(difference(nearer, union(hole.cut for hole in room.holes)))
    region = within_lines(frame.region(room.region), left)
    whole = to_whole_courses(region, wider, courses)
    whole, opened = cut_out(whole, holes, legs)
    least = task.rules.min_run
    cuts = [(one.name, one.cut) for one in opened if not one.outline]
    steps = [cutout for one in opened if one.outline
             for cutout in notches_of(one.name, courses, one.cut, one.outline)]  # fmt: skip
    laid = lay_runs(whole, courses, cuts, least, steps)
    if not laid.runs:
        raise TradeRefused(
            Fault("nothing-left", "no run is long enough to be boarded", task.pointer)
        )
    return whole, laid, opened


def _steps(inset: Region) -> list[FramedHole]:
    """The parts beside an outline, in stations, that may step into courses."""
    return [
        FramedHole(f"step {k + 1} of the outline", (part,), outline=inset)
        for k, part in enumerate(beside(inset))
    ]


def _seams(task: Task, frame: Frame) -> tuple[PanelJointLine, ...]:
    """Joint lines of the panels behind."""
    return seams_of([line for one in task.ground.over if one.carries for line in one.joints], frame)


def _last_without_tongue(board: Board, courses: tuple[Course, ...], gap: int) -> tuple[Course, ...]:
    """A whole last course loses its tongue where the gap is too small for it to slide on (3.11)."""
    last = courses[-1]
    slides = gap >= 2 * board.lap + SIXTEENTH
    if not board.has_tongue or last.rip != "none" or len(courses) < 2 or slides:
        return courses
    return (*courses[:-1], replace(last, rip="end"))


def _layer(
    task: Task,
    direction: Fraction,
    boards: Boards,
    openings: tuple[OpeningRow, ...],
    ways: tuple[Ranked, list[Ranked]],
) -> LaidBoards:
    laid = boards.laid
    walls = boards.frame.region(task.surface.parts)
    region = twice_area(boards.region)
    left = twice_area(laid.dropped) + laid.open_joints
    # What snapping moved stays in the region; it is the ledger's own account.
    return LaidLayer(
        task=task,
        direction=direction,
        frame=boards.frame,
        areas=Areas(installed=region - left, region=region),
        openings=openings,
        courses=course_rows(task, boards.board, laid, tapers_of(walls, laid)),
        alternatives=alternatives(task, *ways, laid.courses),
        detail=boards,
        offered=Offered(boards.board.thickness),
    )


def _check_members(task: Task, bearings: tuple[Bearing, ...], region: Region) -> None:
    """Something must stand behind boards without a backing: members, and members crossed."""
    if task.ground.bearings and not bearings:
        raise _nothing_to_nail(task)
    low, high, near, far = bounds(region)
    if any(low <= bearing.at((near + far) // 2) <= high for bearing in bearings):
        return
    supports = f"{task.surface.pointer}/supports"
    raise TradeRefused(
        Fault(
            "no-member-behind",
            "no member stands behind this surface: check the positions of its supports, or give "
            "it a `backing`",
            supports,
            cure=Cure(f"{task.surface.pointer}/backing", {"thickness": Ticks(INCH // 2)}),
            rule="6.2",
        )
    )


def _nothing_to_nail(task: Task) -> TradeRefused:
    """Boards along the framing with no panel behind them hold on to nothing (6.2)."""
    turned = float((task.layer.direction + 90) % 180)
    return TradeRefused(
        Fault(
            "no-bearing",
            "the boards run with the framing and nothing stands behind them to be fastened to: "
            "turn them, or give the surface a `backing`",
            f"{task.pointer}/direction",
            cure=Cure(f"{task.pointer}/direction", turned),
            rule="6.2",
        )
    )
