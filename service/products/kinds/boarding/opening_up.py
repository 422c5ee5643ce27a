"""Boards that are up where a change lays them otherwise: what stays of them (21.4)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from service.cutting.records import Stock
from service.geometry.plane import clip_to_boxes, difference, intersection, union, without_slivers
from service.geometry.rings import Point, Polygon, Region, bounds, rectangle
from service.layout.cut_wider import cut_back
from service.layout.pieces_up import Opened, Seats, Span, Up
from service.layout.runs import NOTHING, SNAPPED
from service.products.kinds.boarding.joining.joint_places import ON_MEMBERS
from service.products.kinds.boarding.joining.joint_runs import joint_rules, places_of
from service.products.kinds.boarding.records import BoardPiece, LaidBoards, PlacedBoards
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.starter import starter_of
from service.products.laths import that_stay
from service.products.standing import OpenedUp, Opening, Standing, Stay, is_reached


def open_up(placed: PlacedBoards, after: LaidBoards, opening: Opening) -> OpenedUp:
    """What stays of boards that are up, once they are cut back as far as a change asks.

    A board that only loses wood, and is in no way of framing, is cut in place. One in whose place
    wood is to come, or behind which framing is set, is cut back on both sides to a bearing, apart
    from the joints beside it.
    """
    pieces = [one for one in placed.detail.all if one.id in opening.up]
    known = [(one, _in_course(one, placed, after)) for one in pieces]
    ups = [Up(one.id, course, one.cut.low, one.cut.high) for one, course in known if course]
    shapes = {one.id: one.shape for one in pieces}
    boarded = _boarded(after)
    lost = {up.name: _lost(up, shapes[up.name], boarded[up.course]) for up in ups}
    opened = {
        up.name: _span(up, union([gone, come]), after)
        for up, (gone, come) in ((up, lost[up.name]) for up in ups)
        if come or (gone and is_reached(gone, opening.framing, after.frame))
    }
    seats = _seats(after)
    for name, span in _unseated(ups, shapes, seats, after, boarded):
        known_span = opened.get(name, span)
        low, high = min(span.low, known_span.low), max(span.high, known_span.high)
        opened[name] = Opened(low, high, known_span.off)
    parts = cut_back(ups, opened, seats, SNAPPED)
    left = [
        (up, shape)
        for up in ups
        for shape in _shapes(shapes[up.name], lost[up.name][0], parts.get(up.name))
        if shape
    ]
    area = union(shape for _, shape in left)
    complete = not _large(difference(union(boarded.values()), area))
    starter = starter_of(placed.laid)
    strip = that_stay(starter, starter_of(after), opening.up, area) if starter else ()
    return OpenedUp(
        Standing(after.frame.region_back(area), tuple(_joints(left, after))),
        (*(Stay(up.name, shape) for up, shape in left), *strip),
        complete,
    )


def _boarded(after: LaidBoards) -> dict[int, Region]:
    """What boards are to cover, course by course: not what is too short, nor what snaps away."""
    laid = after.detail.laid
    found: dict[int, list[Region]] = {course.number: [] for course in laid.courses}
    for run in laid.runs:
        found[run.course].append((run.polygon,))
    return {number: union(own) for number, own in found.items()}


def _in_course(piece: BoardPiece, placed: PlacedBoards, after: LaidBoards) -> int | None:
    """The course that a board lies in after the change; None where its lines lie otherwise."""
    if placed.laid.frame != after.frame:
        return None
    was = placed.laid.detail.course(piece.run)
    for course in after.detail.laid.courses:
        if (course.low, course.high, course.rip) == (was.low, was.high, was.rip):
            return course.number
    return None


def _lost(up: Up, shape: Region, boarded: Region) -> tuple[Region, Region]:
    """What a board loses, and what comes in its place that was not `boarded` in its course."""
    if not boarded:
        return _large(shape), ()
    (wanted,) = clip_to_boxes(boarded, [(up.low, up.high, *bounds(boarded)[2:])])
    return _large(difference(shape, wanted)), _large(difference(wanted, shape))


def _span(up: Up, changed: Region, after: LaidBoards) -> Opened:
    """From where to where a board is opened; a joint keeps further off a notch than off a gap."""
    low, high, near, far = bounds(changed)
    course, rules = after.detail.laid.course(up.course), after.task.rules
    through = near <= course.low + NOTHING and far >= course.high - NOTHING
    off = rules.joint_beside_hole if through else rules.joint_from_hole
    return Opened(low, high, off)


def _unseated(
    ups: Sequence[Up],
    shapes: Mapping[str, Region],
    seats: Seats,
    after: LaidBoards,
    boarded: Mapping[int, Region],
) -> Iterator[tuple[str, Opened]]:
    """Boards that ended at an opening where no joint can be, and are to meet another now (21.5)."""
    if places_of(after.task, after.detail) not in ON_MEMBERS:
        return
    for course in dict.fromkeys(up.course for up in ups):
        own = [up for up in ups if up.course == course]
        up_there = union(shapes[up.name] for up in own)
        sides = {at for part in _large(difference(boarded[course], up_there))
                 for at in part.box[:2]}  # fmt: skip
        for up in own:
            for end in (up.low, up.high):
                is_met = any(abs(end - at) <= SNAPPED for at in sides)
                if is_met and end not in seats.stations(course):
                    yield up.name, Opened(end, end, 0)


def _large(region: Region) -> Region:
    """What is more than snapping and rounding leave."""
    return without_slivers(region, NOTHING)


def _seats(after: LaidBoards) -> Seats:
    task, boards = after.task, after.detail
    rules = joint_rules(task, boards, places_of(task, boards))

    def stations(course: int) -> Sequence[int]:
        line = boards.lines[course].stations
        return line or range(0, boards.extent, rules.stagger)

    def covered(course: int) -> Sequence[Span]:
        return [(run.low, run.high) for run in boards.laid.runs if run.course == course]

    on_members = places_of(task, boards) in ON_MEMBERS
    longest = _longest(task) - rules.cut_to if on_members else None
    return Seats(stations, rules.min_piece, rules.stagger, rules.repeat, covered, longest)


def _longest(task: Task) -> int:
    """The longest piece between joints that stock gives which can be bought."""
    trims = task.rules.trims(task.product)
    rows = (row for row in task.product.stock if row.on_hand != 0)
    return max(
        (trims.trimmed(Stock("", row.length, row.length, 0), row.raw).usable for row in rows),
        default=0,
    )


def _shapes(
    shape: Region, gone: Region, parts: Sequence[tuple[int, int]] | None
) -> Iterator[Region]:
    """What stays of a board: all but what is cut in place, or the parts it is cut back to."""
    if parts is None:
        yield difference(shape, gone) if gone else shape
        return
    *_, near, far = bounds(shape)
    for low, high in parts:
        yield intersection(shape, (Polygon(rectangle(low, near, high, far)),))


def _joints(left: Sequence[tuple[Up, Region]], after: LaidBoards) -> Iterator[Point]:
    """Where boards that stay meet, in the surface's coordinates."""
    spans: dict[int, list[tuple[int, int]]] = {}
    for up, shape in left:
        low, high, *_ = bounds(shape)
        spans.setdefault(up.course, []).append((low, high))
    for course, own in spans.items():
        middle = after.detail.laid.course(course).middle
        for (_, high), (low, _) in pairwise(sorted(own)):
            if abs(low - high) <= SNAPPED:
                yield after.frame.back((low, middle))
