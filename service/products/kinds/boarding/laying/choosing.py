"""Which way of laying the courses is used: what was asked for, or the best of all (3.9)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.ends import NEARLY_ALONG
from service.geometry.frame import Frame
from service.geometry.rings import Line, Region, bounds
from service.layout.courses import Feature, Widths
from service.layout.ranking import Edges, Limits, Ranked
from service.products.goods.board.board import Board
from service.products.kinds.boarding.laying.corners import (
    rest_of,
    seen_side,
    starts_at_low_side,
)
from service.products.kinds.boarding.laying.direction import direction_of
from service.products.kinds.boarding.laying.least_widths import groove_floor, least_rip
from service.products.kinds.boarding.laying.zones import in_zones, lines_that_cure, station_of
from service.products.kinds.boarding.rulings import Start, Task
from service.products.kinds.boarding.spec import Aim
from service.products.kinds.boarding.ways import Ways, WholeAt
from service.units.ticks import INCH, MM, SIXTY_FOURTH, down
from service.units.writing import both

ASKED = ("balanced", "balanced_narrow", "full_first", "equal")
"""Starts that a request can ask for."""

WIDEST_STRIP = INCH // 8
"""A covered gap takes no wider strip that would be left over, whatever it gives to rips (3.9)."""


def ways_of(
    task: Task,
    board: Board,
    covered: bool,
    inset: Region,
    walls: Region,
    frame: Frame,
    gives: Callable[[Line], bool],
) -> Ways:
    """The ways of laying the courses of one layer.

    `inset` and `walls` are the outline less its gaps, in stations, the latter also less the
    openings that reach its edges; `gives` says of an edge whether the gap there does. Refuses a
    spacer or a start that the boards cannot have.
    """
    rules = task.rules
    _check_equal(task, board)
    _, _, near, far = bounds(inset)
    starts_low = starts_at_low_side(task)
    rest = rest_of(task, board)
    whole_at = _whole_at(task, inset, starts_low) if rest is None else None
    hidden = covered or whole_at == "bottom"
    preferred = rules.preferred_rip(board.coverage)
    most = min(rules.unsawn, WIDEST_STRIP) * (not board.lapped)
    edges, takes = _edges(walls, starts_low, most, gives), max(SIXTY_FOURTH, most)
    ways = Ways(
        inset=inset,
        starts_low=starts_low,
        widths=Widths(
            far - near,
            board.coverage,
            _spacer(task, board),
            0 if hidden else board.grooved,
            first_drops=takes if edges.first_gives else SIXTY_FOURTH,
            last_drops=takes if edges.last_gives else SIXTY_FOURTH,
        ),
        edges=edges,
        limits=Limits(preferred, least_rip(task, board), rules.feature_tolerance),
        spacer_max=rules.spacer_max,
        sent=task.layer.start,
        lapped=board.lapped,
        middle=max(frame.to(corner)[1] for corner in task.surface.outline) // 2,
        whole_at=whole_at,
        aims=tuple(_aims(task, frame, near, far)),
        rest=rest,
    )
    return ways if task.layer.course_lines is None else in_zones(task, ways, frame)


def _whole_at(task: Task, inset: Region, starts_low: bool) -> WholeAt | None:
    """The edge at which the first course lies whole by custom (3.9, 3.16, 3.18)."""
    low, high, near, far = bounds(inset)
    side = seen_side(task)
    if side is not None and side[0] == ("low" if starts_low else "high"):
        return side[1]
    if task.surface.type == "soffit" and high - low >= far - near:
        return "outer edge"
    level = task.surface.type == "wall" and direction_of(task) == 0
    return "bottom" if level and starts_low else None


def choose(task: Task, ways: Ways, frame: Frame, board: Board) -> tuple[Ranked, list[Ranked]]:
    """The way of laying the courses that is used, and all that were compared."""
    features = _features(task, ways, frame)
    chosen, judged = ways.best(features)
    if chosen is None or (chosen.fails and not task.relax):
        lines = None if chosen is None else lines_that_cure(task, ways, frame, features)
        raise _refused(task, chosen, ways.limits, lines or _rip_cure(task, judged, chosen, board))
    task.rules.start(_usual(ways, chosen))
    if chosen.scheme.spacer != ways.widths.spacer:
        task.rules.note_spacer(chosen.scheme.spacer)
    return chosen, judged


def _usual(ways: Ways, chosen: Ranked) -> Start:
    """The default that was used, as the basis names it."""
    start = chosen.scheme.start
    if start in ("middle", "slid", "wrapped"):
        return start
    if ways.is_whole(chosen):
        return "full_first"
    return "equal" if ways.lapped else "balanced"


def _spacer(task: Task, board: Board) -> int:
    """The open joint between courses; refused where there can be none, or none so wide.

    It must not pull a tongue out of its groove, and lapped boards lie on each other.
    """
    spacer = task.rules.spacer
    at = f"{task.pointer}/spacer"
    if board.lapped and spacer:
        raise TradeRefused(
            Fault(
                "spacer-in-lap",
                "lapped boards lie on each other, so no joint between courses stands open: what "
                "shows of each is its `coverage`",
                at,
                cure=Cure(at, 0),
                rule="2.1",
                measure=spacer,
                limit=0,
            )
        )
    if not board.has_tongue or spacer < board.lap:
        return spacer
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


def _check_equal(task: Task, board: Board) -> None:
    """Only lapped boards can lap by more or less."""
    if task.layer.start != "equal" or board.lapped:
        return
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


def _refused(task: Task, chosen: Ranked | None, limits: Limits, cure: Cure) -> TradeRefused:
    """A scheme that leaves too small a rip, or that there is not, with what would do."""
    smallest = 0 if chosen is None else chosen.smallest_rip or 0
    equal = chosen is not None and chosen.scheme.start == "equal"
    what = "equal courses leave" if equal else "this start leaves"
    return TradeRefused(
        Fault(
            "rip-too-small",
            f"{what} a rip of {both(smallest)}, under the least of {both(limits.hard)}",
            f"{task.pointer}/start",
            cure=cure,
            rule="3.9",
            measure=smallest,
            limit=limits.hard,
        )
    )


def _rip_cure(task: Task, judged: list[Ranked], chosen: Ranked | None, board: Board) -> Cure:
    """A start that keeps the least, or a lower least where the groove still holds.

    Lapped boards start in equal exposures or with a whole one: no sider rips the one at the bottom.
    """
    starts = ("equal", "full_first") if board.lapped else ASKED
    able = [one.scheme.start for one in judged if not one.fails and one.scheme.start in starts]
    if chosen is None or (able and able[0] != task.layer.start):
        usual = "equal" if board.lapped else "balanced"
        return Cure(f"{task.pointer}/start", able[0] if able else usual)
    step = SIXTY_FOURTH if task.unit in ("in", "ft") else MM // 10
    smallest = down(chosen.smallest_rip or 0, step)
    if smallest >= groove_floor(board):
        return Cure(f"{task.pointer}/rules/min_rip", Ticks(smallest))
    return Cure("/when_blocked", "relax")


def _features(task: Task, ways: Ways, frame: Frame) -> list[Feature]:
    """Aims as distances from the start edge of the region."""
    return [ways.feature(station_of(task, frame, aim.at), aim.on) for aim in ways.aims]


def _aims(task: Task, frame: Frame, near: int, far: int) -> Iterator[Aim]:
    """The aims of a field from `near` to `far`: of a bay laid by itself those that lie in it."""
    alone = task.ground.split or task.layer.bays == "per_bay"
    for aim in task.layer.aim or ():
        if not alone or near <= station_of(task, frame, aim.at) <= far:
            yield aim


@dataclass(frozen=True, slots=True)
class _Along:
    """An edge with the boards: its least and greatest distance from the start, whether it gives."""

    near: int
    far: int
    gives: bool

    @property
    def ends(self) -> tuple[int, int]:
        return self.near, self.far


def _edges(walls: Region, starts_low: bool, most: int, gives: Callable[[Line], bool]) -> Edges:
    """Edges of the region along the boards, as seen from the start (3.9).

    Both ends of one that tapers. What is within 1/64 in of the region's own sides lies there.
    `most` is the widest strip that is left to a gap that `gives`.
    """
    _, _, low, high = bounds(walls)
    above: list[_Along] = []
    below: list[_Along] = []
    for polygon in walls:
        for a, b in pairwise([*polygon.outer, polygon.outer[0]]):
            if abs(b[1] - a[1]) < NEARLY_ALONG * abs(b[0] - a[0]):
                ends = [v - low if starts_low else high - v for v in (a[1], b[1])]
                along = _Along(min(ends), max(ends), bool(most) and gives((a, b)))
                (above if b[0] > a[0] else below).append(along)
    sides = (above, below) if starts_low else (below, above)
    return _seen_from(*sides, high - low, most)


def _seen_from(
    near_side: Sequence[_Along], far_side: Sequence[_Along], net: int, most: int
) -> Edges:
    """Edges by their distance from the start."""
    inside = range(SIXTY_FOURTH + 1, net - SIXTY_FOURTH)
    nears = {v for one in near_side for v in one.ends}
    fars = {v for one in far_side for v in one.ends}
    at_start = [one.gives for one in near_side if one.near < most]
    at_end = [one.gives for one in far_side if one.far > net - most]
    return Edges(
        tuple(sorted(v for v in nears if v in inside)),
        tuple(sorted(v for v in fars if v in inside)),
        first=any(v <= SIXTY_FOURTH for v in nears),
        last=any(v >= net - SIXTY_FOURTH for v in fars),
        gives=most,
        near_gives=_giving(near_side, lambda one: one.near, min),
        far_gives=_giving(far_side, lambda one: one.far, max),
        first_gives=bool(at_start) and all(at_start),
        last_gives=bool(at_end) and all(at_end),
    )


def _giving(
    sides: Sequence[_Along], widest: Callable[[_Along], int], most: Callable[..., int]
) -> Mapping[int, int]:
    """The ends at which every edge gives, each with where a strip beside them is widest."""
    kept = {v for one in sides if not one.gives for v in one.ends}
    given: dict[int, int] = {}
    for one in sides:
        for v in one.ends:
            if v not in kept:
                given[v] = most(widest(one), given.get(v, widest(one)))
    return given
