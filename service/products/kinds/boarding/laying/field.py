"""One field of boards laid by itself: all that a layer has, or a bay of it (3, 5.10)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.frame import Frame
from service.geometry.plane import difference, union, without_slivers
from service.geometry.rings import Region, bounds
from service.layout.bearings import Bearing
from service.layout.legs import FramedHole, Leg, cut_out, narrow_legs
from service.layout.runs import (
    NOTHING,
    Course,
    Laid,
    cutout_of,
    lay_runs,
    placed_courses,
    to_whole_courses,
)
from service.layout.square_ends import SquareEnd, cut_square, square_ends
from service.layout.steps import beside, notches_of
from service.products.gaps import OpenGap
from service.products.goods.board.board import Board
from service.products.kinds.boarding.findings.hole_findings import say_holes, say_legs, say_square
from service.products.kinds.boarding.laying.choosing import choose, ways_of
from service.products.kinds.boarding.laying.corners import starts_at_low_side
from service.products.kinds.boarding.laying.least_widths import least_legs
from service.products.kinds.boarding.laying.open_gaps import open_gaps
from service.products.kinds.boarding.laying.room import Room, narrowed_room, room_of
from service.products.kinds.boarding.laying.shift_cure import shift_cure
from service.products.kinds.boarding.laying.unsawn import (
    Unsawn,
    narrowest_last,
    say_unsawn,
    unsawn,
    with_whole,
    within_lines,
)
from service.products.kinds.boarding.records import Field
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.walls import Perimeter, Wall
from service.products.remarks import Remarks
from service.units.ticks import INCH, SIXTEENTH, SIXTY_FOURTH


@dataclass(frozen=True, slots=True)
class Place:
    """The place of a field among several: its `bay`, and how many courses lie `before` it."""

    bay: int | None = None
    before: int = 0


@dataclass(frozen=True, slots=True)
class LaidField:
    """A field with what was decided of its edges and holes, for what is to be said of them.

    `inset` is its room in stations, `left` what its gaps take, `holes` all that may cut its courses
    in stations, `opened` those as they are cut, `square` the ends that are square for a ring.
    """

    field: Field
    room: Room
    inset: Region
    left: tuple[Unsawn, ...]
    holes: tuple[FramedHole, ...]
    legs: tuple[Leg, ...]
    opened: tuple[FramedHole, ...]
    square: tuple[SquareEnd, ...]

    @property
    def cuts(self) -> Iterator[tuple[tuple[str, ...], Region]]:
        """The openings of each hole, and its shape as cut."""
        return (
            (hole.openings, one.cut)
            for hole, one in zip(self.room.holes, self.opened, strict=False)
        )

    def gaps(self, board: Board, frame: Frame) -> Iterator[OpenGap]:
        """The gaps that its boards leave at walls to be covered."""
        first = self.field.laid.courses[0]
        return open_gaps(self.field.task, self.room.walls, self.left, first, board, frame)

    def say(self, said: Remarks, board: Board) -> None:
        """What is to be said of its edges and its holes."""
        field, task = self.field, self.field.task
        courses = field.laid.courses
        say_unsawn(task, said, self.left, courses)
        say_holes(task, said, self.room.holes, field.laid, board)
        cure = partial(shift_cure, task, board, field.ways, courses, self.holes)
        say_legs(task, said, self.legs, cure)
        say_square(task, said, self.room.holes, self.square)


def lay_field(
    task: Task, board: Board, frame: Frame, bearings: tuple[Bearing, ...], place: Place
) -> LaidField:
    """Lay the boards of one field, at its place among several.

    Raises TradeRefused where no course can be laid.
    """
    room = room_of(task, board)
    if place.bay is None:
        check_members(task, bearings, frame.region(room.region))
    walls = task.surface.less_openings_at_edges(room.inset)
    inset = frame.region(room.inset)
    perimeter = room.walls.perimeter(task.surface.parts, frame)
    first, last = _first_and_last(perimeter, inset, starts_at_low_side(task))
    covered = all(wall.covered for wall in first)
    every = room.walls.perimeter(task.surface.parts, frame, whole=True)
    ways = ways_of(task, board, covered, inset, frame.region(walls), frame, every.gives)
    chosen, found = choose(task, ways, frame, board)
    courses = placed_courses(chosen.scheme, inset, ways.starts_low, place.before)
    left = unsawn(task, board, ways, every, frame, courses, chosen.scheme.spacer)
    last_gap = narrowest_last(left, last, inset, courses)
    if left:
        room = narrowed_room(task, room, left)
        courses, inset = with_whole(courses, left), within_lines(frame.region(room.inset), left)
    courses = _last_without_tongue(board, courses, last_gap)
    holes = [FramedHole(one.name, frame.region(one.cut), frame.region(one.cover), one.spare)
             for one in room.holes]  # fmt: skip
    holes += _steps(inset)
    legs = list(narrow_legs(courses, holes, partial(least_legs, task, board)))
    whole, laid, opened, square = _laid(task, room, frame, courses, holes, legs, left)
    field = Field(
        task=task,
        bay=place.bay,
        region=whole,
        laid=laid,
        ways=ways,
        chosen=chosen,
        found=tuple(found),
        first_covered=covered,
        last_gap=last_gap,
    )
    return LaidField(
        field=field,
        room=room,
        inset=inset,
        left=tuple(left),
        holes=tuple(holes),
        legs=tuple(legs),
        opened=tuple(opened),
        square=square,
    )


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
) -> tuple[Region, Laid, list[FramedHole], tuple[SquareEnd, ...]]:
    """The region that is boarded, in stations, its runs, the holes as cut, what ends at them."""
    nearer = room.margins.less(SIXTY_FOURTH).inset(task.surface.parts)
    wider = frame.region(difference(nearer, union(hole.cut for hole in room.holes)))
    region = within_lines(frame.region(room.region), left)
    whole = to_whole_courses(region, wider, courses)
    whole, opened = cut_out(whole, holes, legs)
    square = tuple(square_ends(whole, courses, opened))
    whole, opened = cut_square(whole, opened, square)
    least = task.rules.min_run
    cutouts = [
        *(cutout_of(one.name, *met) for one in opened if not one.outline
          for met in one.parts(courses)),
        *(cutout for one in opened if one.outline
          for cutout in notches_of(one.name, one.parts(courses))),
    ]  # fmt: skip
    laid = lay_runs(whole, courses, cutouts, least)
    if not laid.runs:
        raise TradeRefused(
            Fault("nothing-left", "no run is long enough to be boarded", task.pointer)
        )
    if task.standing is None:
        return whole, laid, opened, square
    # What is too short to be boarded stays so; what boards that are up leave is never too short.
    boarded = union((run.polygon,) for run in laid.runs)
    whole = difference(boarded, frame.region(task.standing.area))
    whole = without_slivers(whole, NOTHING)
    if not whole:
        return (), Laid(courses, (), laid.cutouts, 0, (), 0), opened, square
    return whole, lay_runs(whole, courses, cutouts, 0), opened, square


def _steps(inset: Region) -> list[FramedHole]:
    """The parts beside an outline, in stations, that may step into courses."""
    return [
        FramedHole(f"step {k + 1} of the outline", (part,), outline=inset)
        for k, part in enumerate(beside(inset))
    ]


def _last_without_tongue(board: Board, courses: tuple[Course, ...], gap: int) -> tuple[Course, ...]:
    """A whole last course loses its tongue where the gap is too small for it to slide on (3.11)."""
    last = courses[-1]
    slides = gap >= 2 * board.lap + SIXTEENTH
    if not board.has_tongue or last.rip != "none" or len(courses) < 2 or slides:
        return courses
    return (*courses[:-1], replace(last, rip="end"))


def check_members(task: Task, bearings: tuple[Bearing, ...], region: Region) -> None:
    """Something must stand behind boards without a backing, behind some bay at least."""
    if task.ground.backing is not None:
        return
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
