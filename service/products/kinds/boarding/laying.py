"""Boards on a surface: direction, region, courses and runs, before any stock is chosen."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import atan, degrees

from service.errors import Cure, Fault, Finding, Ticks, TradeRefused
from service.geometry.frame import Frame, frame_of
from service.geometry.plane import intersection, shrunk, union
from service.geometry.rings import Polygon, Region, Ring, bounds, rectangle, twice_area
from service.layout.bearings import Bearing, BearingLine, bearings_of, line_of
from service.layout.courses import (
    Ranked,
)
from service.layout.runs import Course, Laid, Run, lay_runs, placed_courses
from service.layout.seams import Seam, crossed, seams_of
from service.products.kind import Areas, LaidLayer, Offered, Said, Task
from service.products.kinds.boarding.board import Board, board_of
from service.products.kinds.boarding.choosing import choose, starts_at_low_side
from service.products.kinds.boarding.finding import say_what_was_laid
from service.products.rows import AlternativeRow, CourseRow
from service.units.ticks import INCH, SIXTEENTH, SIXTY_FOURTH
from service.units.writing import both

NEARLY_ALONG = 0.05
"""Slope below which an edge of the outline counts as running with the boards."""


@dataclass(frozen=True, slots=True)
class Boards:
    """What the kind keeps of a laid layer for supplying, fastening and drawing."""

    board: Board
    frame: Frame
    region: Region
    laid: Laid
    bearings: tuple[Bearing, ...]
    lines: tuple[BearingLine, ...]
    covered: bool
    spacer: int
    seams: tuple[Seam, ...]

    @property
    def along_framing(self) -> bool:
        """Whether the boards run with the members, so that none of them is crossed."""
        return not self.bearings

    def line(self, run: Run) -> BearingLine:
        """The members as a run's course meets them."""
        return self.lines[run.course - 1]

    def course(self, run: Run) -> Course:
        """The course of a run."""
        return self.laid.courses[run.course - 1]

    def panel_joints(self, run: Run) -> tuple[int, ...]:
        """Stations at which a run's course crosses joints of the panels behind it."""
        return crossed(self.seams, self.course(run).middle)


def lay(task: Task, said: Said) -> LaidLayer:
    """Lay the boards of one layer; raises TradeRefused where no course can be laid."""
    board = board_of(task, said)
    covered = task.rules.choose("24", "edges", task.layer.edges, "covered") == "covered"
    gap = task.rules.get("gap", "gap_covered" if covered else "gap_bare")
    outline = task.surface.outline
    inset = shrunk(outline, gap)
    region = task.surface.boarded(inset) if inset else ()
    if not region:
        raise TradeRefused(
            Fault("nothing-left", "gaps and openings leave nothing to board", task.pointer)
        )
    direction = _direction(task)
    turn = _turn(task, outline, direction, said)
    frame = frame_of(outline, direction, turn)
    bearings = bearings_of(task.surface.members, frame)
    if task.backing is None:
        _check_members(task, bearings, frame.region(region))
    walls = task.surface.less_openings_at_edges(inset)
    chosen, found, spacer = choose(task, board, frame.region(inset), frame.region(walls), frame)
    whole = frame.region(region)
    courses = placed_courses(chosen.scheme, frame.region(inset), starts_at_low_side(task))
    courses = _last_without_tongue(task, board, courses, gap)
    nearer = shrunk(outline, max(0, gap - SIXTY_FOURTH))
    whole = _to_whole_course(whole, frame.region(task.surface.boarded(nearer)), courses)
    holes = [(opening.id, frame.region(opening.cut)) for opening in task.surface.openings]
    laid = lay_runs(whole, courses, holes, task.rules.get("min_run"))
    if not laid.runs:
        raise TradeRefused(
            Fault("nothing-left", "no run is long enough to be boarded", task.pointer)
        )
    lines = tuple(line_of(bearings, course.middle) for course in courses)
    joints = [line for one in task.behind if one.carries for line in one.joints]
    seams = seams_of(joints, frame)
    boards = Boards(board, frame, whole, laid, bearings, lines, covered, spacer, seams)
    say_what_was_laid(task, said, boards.laid, boards.along_framing, chosen, board)
    return _layer(task, direction + turn, boards, chosen, found)


def _to_whole_course(whole: Region, wider: Region, courses: tuple[Course, ...]) -> Region:
    """The region, and what a last course laid whole takes of the gap: at most 1/64 in (3.1)."""
    low, high, near, far = bounds(whole)
    bottom, top = min(c.low for c in courses), max(c.high for c in courses)
    bands = [
        Polygon(rectangle(low, a, high, b))
        for a, b in ((far, top), (bottom, near))
        if 0 < b - a <= SIXTY_FOURTH
    ]
    if not bands:
        return whole
    return union([whole, *(intersection(wider, (band,)) for band in bands)])


def _last_without_tongue(
    task: Task, board: Board, courses: tuple[Course, ...], gap: int
) -> tuple[Course, ...]:
    """A whole last course loses its tongue where the gap is too small for it to slide on (3.11)."""
    last = courses[-1]
    slides = gap >= 2 * board.lap + SIXTEENTH
    if not board.has_tongue or last.rip != "none" or len(courses) < 2 or slides:
        return courses
    return (*courses[:-1], replace(last, rip="end"))


def _layer(
    task: Task, direction: Fraction, boards: Boards, chosen: Ranked, found: list[Ranked]
) -> LaidLayer:
    laid = boards.laid
    region = twice_area(boards.region)
    left = twice_area(laid.dropped) + laid.open_joints
    # What snapping moved stays in the region; it is the ledger's own account.
    return LaidLayer(
        task,
        direction,
        Areas(installed=region - left, region=region),
        tuple(_course_row(task, boards.board, course, laid) for course in laid.courses),
        _alternatives(task, chosen, found),
        boards,
        Offered(boards.board.thickness),
    )


def _check_members(task: Task, bearings: tuple[Bearing, ...], region: Region) -> None:
    """Something must stand behind boards without a backing: members, and members crossed."""
    if task.surface.members and not bearings:
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


def _direction(task: Task) -> Fraction:
    """The direction asked for, facing the finished side, 0 up to 180 degrees."""
    asked = Fraction(task.layer.direction) % 180
    return (180 - asked) % 180 if task.surface.mirrored else asked


def _turn(task: Task, outline: Ring, asked: Fraction, said: Said) -> Fraction:
    """Degrees by which the boards are turned to share out a taper over the limit (3.8)."""
    limit = task.rules.get("taper_over")
    frame = frame_of(outline, asked)
    slopes = _edge_slopes(frame, outline)
    if slopes is None:
        return Fraction(0)
    low, high, length = slopes
    taper = round(abs(high - low) * length)
    if taper <= limit:
        return Fraction(0)
    left_handed = frame.along[0] * frame.across[1] - frame.along[1] * frame.across[0] < 0
    turn = Fraction(round(degrees(atan((low + high) / 2)) * 10**6), 10**6)
    said.find(
        Finding(
            "taper",
            task.at,
            f"the two edges along the boards are out of parallel by {both(taper)}: the courses "
            f"are turned by {abs(float(turn)):.3f} degrees, so that each side takes half",
            rule="3.8",
            measure=taper,
            limit=limit,
        )
    )
    used = -turn if left_handed else turn
    task.rules.note("3.8", "direction_used", float(asked + used), "taper")
    return used


def _edge_slopes(frame: Frame, outline: Ring) -> tuple[float, float, int] | None:
    """Slopes (v over u) of the two edges along the boards, and the shorter one's length.

    None where either is under half as long as the surface: it is not a side to be split.
    """
    ring = [frame.to(point) for point in outline]
    edges = []
    for a, b in pairwise([*ring, ring[0]]):
        if a[0] != b[0] and abs((b[1] - a[1]) / (b[0] - a[0])) < NEARLY_ALONG:
            edges.append(((a[1] + b[1]), (b[1] - a[1]) / (b[0] - a[0]), abs(b[0] - a[0])))
    if len(edges) < 2:
        return None
    low, high = min(edges), max(edges)
    reach = max(u for u, _ in ring) - min(u for u, _ in ring)
    if min(low[2], high[2]) < reach // 2:
        return None
    if low[1] == 0 and high[1] == 0:
        return None
    return low[1], high[1], min(low[2], high[2])


_NOTES = {
    "start": "rip off the groove side",
    "end": "rip off the tongue side",
    "both": "rip both sides",
}


def _course_row(task: Task, board: Board, course: Course, laid: Laid) -> CourseRow:
    near, far = course.low, course.high
    if not course.starts_low:
        near, far = far, near
    notes = [_NOTES[course.rip]] if course.rip in _NOTES else []
    if not board.has_tongue:
        notes = ["rip one edge"] if course.rip != "none" else []
    last = course.number == len(laid.courses)
    if course.number == 1:
        notes.append("face-nail at the wall")
    elif last:
        notes.append("face-nail")
    return CourseRow(
        task.surface.id,
        task.layer_id,
        course.number,
        near,
        far,
        course.face,
        rip_name(board, course),
        "far" if board.has_tongue and course.rip in ("none", "start") else "none",
        "; ".join(notes),
    )


def rip_name(board: Board, course: Course) -> str:
    """The edge that is ripped off: by its joint for matched boards, by its side for others."""
    if course.rip in ("none", "both"):
        return course.rip
    if board.has_tongue:
        return "groove" if course.rip == "start" else "tongue"
    return "near" if course.rip == "start" else "far"


def _alternatives(task: Task, chosen: Ranked, found: list[Ranked]) -> tuple[AlternativeRow, ...]:
    """The chosen way first if it ranks first, the best three in all, the chosen always."""
    rows = found[:3]
    if chosen not in rows:
        rows = [*rows[:2], chosen]
    return tuple(
        AlternativeRow(
            task.surface.id,
            task.layer_id,
            rank + 1,
            one.scheme.start,
            len(one.scheme.strips),
            one.scheme.first,
            one.scheme.last,
            one is chosen,
            one.why,
        )
        for rank, one in enumerate(rows)
    )
