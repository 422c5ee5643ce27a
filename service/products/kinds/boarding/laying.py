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
    Edges,
    Feature,
    Limits,
    Ranked,
    Scheme,
    Widths,
    equal,
    ranked,
    schemes,
)
from service.layout.runs import Course, Laid, Run, lay_runs, placed_courses
from service.products.kind import Areas, LaidLayer, Said, Task
from service.products.kinds.boarding.board import Board, board_of
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
    if task.surface.backing is None:
        _check_members(task, bearings, frame.region(region))
    walls = task.surface.less_openings_at_edges(inset)
    chosen, found, spacer = _choose(task, board, frame.region(inset), frame.region(walls), frame)
    whole = frame.region(region)
    courses = placed_courses(chosen.scheme, frame.region(inset), _starts_low(task, frame))
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
    boards = Boards(board, frame, whole, laid, bearings, lines, covered, spacer)
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


def _reversed(task: Task) -> bool:
    """Whether mirroring turned the stations across the boards round."""
    return task.surface.mirrored and Fraction(task.layer.direction) % 180 == 90


def _starts_low(task: Task, frame: Frame) -> bool:
    side: str = task.rules.choose("3.10", "start_side", task.layer.start_side, "low")
    return (side == "low") != _reversed(task)


def _choose(
    task: Task, board: Board, inset: Region, cut_by_walls: Region, frame: Frame
) -> tuple[Ranked, list[Ranked], int]:
    """The way of laying the courses that is used, all that were compared, and the spacer."""
    rules = task.rules
    spacer = rules.choose("2.1", "spacer", task.layer.spacer, 0)
    if board.has_tongue and spacer >= board.lap:
        at = f"{task.pointer}/spacer"
        raise TradeRefused(
            Fault(
                "spacer-too-wide",
                f"a spacer of {both(spacer)} pulls a tongue of {both(board.lap)} out of its groove",
                at,
                cure=Cure(at, 0),
                rule="2.1",
                measure=spacer,
                limit=board.lap,
            )
        )
    _, _, low, high = bounds(inset)
    widths = Widths(high - low, board.coverage, spacer)
    starts_low = _starts_low(task, frame)
    features = _features(task, inset, frame, starts_low)
    preferred = rules.get("preferred_rip", fallback=board.coverage // 2)
    limits = Limits(preferred, rules.get("min_rip"), rules.get("feature_tolerance"))
    if task.layer.start == "equal" and not board.lapped:
        at = f"{task.pointer}/start"
        raise TradeRefused(
            Fault(
                "equal-needs-lapped",
                "only lapped boards can share a width by equal exposure",
                at,
                cure=Cure(at, "balanced"),
                rule="3.15",
            )
        )
    found = schemes(widths, features, rules.get("spacer_max"))
    wished = task.layer.start or ("equal" if board.lapped else None)
    if wished == "equal":
        found.append(equal(widths))
    judged = ranked(found, features, _edges(cut_by_walls, starts_low), limits)
    rules.choose("3.9", "start", task.layer.start, wished or "balanced")
    chosen = _wished(judged, found, wished)
    if chosen is None or chosen.fails:
        chosen = _cured(task, judged, chosen, limits)
    if chosen.scheme.spacer != spacer:
        rules.note("3.7", "spacer", Ticks(chosen.scheme.spacer), "aim")
    return chosen, judged, chosen.scheme.spacer


def _wished(judged: list[Ranked], found: list[Scheme], wished: str | None) -> Ranked | None:
    """The scheme asked for, None if there is none such; without a wish the best but the narrow."""
    if wished is None:
        return next(one for one in judged if one.scheme.start != "balanced_narrow")
    asked = next((scheme for scheme in found if scheme.start == wished), None)
    if asked is None:
        return None
    return next(one for one in judged if one.scheme.strips == asked.strips)


def _cured(task: Task, judged: list[Ranked], chosen: Ranked | None, limits: Limits) -> Ranked:
    """A failing scheme is refused with the start that works, or used if the caller relaxes."""
    able = [one for one in judged if not one.fails and one.scheme.start != "aim"]
    if chosen is not None and task.relax:
        return chosen
    cure = Cure(f"{task.pointer}/start", able[0].scheme.start) if able else None
    smallest = 0 if chosen is None else chosen.smallest_rip or 0
    if cure is None or cure.value == task.layer.start:
        cure = Cure(f"{task.pointer}/rules/min_rip", Ticks(smallest))
    raise TradeRefused(
        Fault(
            "rip-too-small",
            f"this start leaves a rip of {both(smallest)}, under the least of {both(limits.hard)}",
            f"{task.pointer}/start",
            cure=cure,
            rule="3.9",
            measure=smallest,
            limit=limits.hard,
        )
    )


def _features(task: Task, inset: Region, frame: Frame, starts_low: bool) -> list[Feature]:
    """Aims as distances from the start edge of the region."""
    _, _, low, high = bounds(inset)
    width = max(frame.to(point)[1] for point in task.surface.outline)
    found = []
    for aim in task.layer.aim or ():
        at = task.surface.true_station(frame.across, aim.at)
        at = width - at if _reversed(task) else at
        found.append(Feature(at - low if starts_low else high - at, aim.on))
    return found


def _edges(inset: Region, starts_low: bool) -> Edges:
    """Edges of the region along the boards, inside its width, as seen from the start."""
    _, _, low, high = bounds(inset)
    above: set[int] = set()
    below: set[int] = set()
    for polygon in inset:
        ring = polygon.outer
        for a, b in pairwise([*ring, ring[0]]):
            if a[1] == b[1] and low < a[1] < high:
                (above if b[0] > a[0] else below).add(a[1])
    if starts_low:
        return Edges(tuple(sorted(v - low for v in above)), tuple(sorted(v - low for v in below)))
    return Edges(tuple(sorted(high - v for v in below)), tuple(sorted(high - v for v in above)))


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
