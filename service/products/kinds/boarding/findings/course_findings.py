"""What should be said of laid courses: small rips, edges, short parts, missing backing."""

from __future__ import annotations

from collections.abc import Sequence

from service.errors import Cure, Finding, Relaxed, Ticks
from service.geometry.plane import without_needles
from service.geometry.rings import Polygon
from service.geometry.strips import edges_before
from service.layout.ranking import Ranked
from service.layout.runs import Laid, Run
from service.products.goods.board.board import Board
from service.products.kinds.boarding.findings.aim_findings import say_aims
from service.products.kinds.boarding.findings.along_findings import say_along
from service.products.kinds.boarding.findings.hanging_ends import say_hanging
from service.products.kinds.boarding.findings.way_findings import say_ways
from service.products.kinds.boarding.records import Boards, Field
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.ways import Ways
from service.products.remarks import Remarks
from service.units.ticks import SIXTEENTH
from service.units.writing import both


def say_what_was_laid(task: Task, said: Remarks, boards: Boards, fields: Sequence[Field]) -> None:
    """Every finding that the courses and runs of a layer give, of each field or of all."""
    board = boards.board
    for one in fields:
        _rip(one.task, said, one.chosen, one.ways)
        _entry(one, said, board)
        _bare_groove(one, said, board)
        _whole_first(task, said, one.chosen, one.ways)
    say_aims(task, said, fields)
    say_ways(task, said, fields)
    _starter(task, said, boards.laid, board)
    for one in fields:
        _narrow_ends(task, said, one.laid, one.ways.limits.hard)
        _dropped(task, said, one.laid)
    say_hanging(task, said, boards)
    say_along(task, said, boards)


def _rip(task: Task, said: Remarks, chosen: Ranked, ways: Ways) -> None:
    preferred, least = ways.limits.preferred, ways.limits.hard
    smallest = chosen.smallest_rip
    if smallest is not None and smallest < least:
        said.relaxed.append(Relaxed("3.9", "min_rip", Ticks(least), Ticks(smallest), (task.at,)))
    if smallest is None or smallest >= preferred:
        return
    held = ways.sent not in (None, "balanced") and not ways.lapped
    cure = Cure(f"{task.pointer}/start", "balanced") if held else None
    share = ""
    if ways.whole_by_default and ways.is_whole(chosen):
        share = (
            f"; `start`: balanced would share the width, and rip the course at the {ways.whole_at}"
        )
    said.find(
        Finding(
            "rip-small",
            task.at,
            f"the smallest rip is {both(smallest)}; {both(preferred)} is preferred{share}",
            rule="3.9",
            measure=smallest,
            limit=preferred,
            cure=cure,
        )
    )


def _entry(field: Field, said: Remarks, board: Board) -> None:
    """The last course must slide on over two tongues, or drop in with its back lip off (3.11)."""
    task, laid, gap = field.task, field.laid, field.last_gap
    if not board.has_tongue or len(laid.courses) < 2:
        return
    needed = board.lap + SIXTEENTH
    if gap < needed:
        said.find(
            Finding(
                "last-course-drop-in",
                f"{task.at}.{laid.courses[-1].number}",
                "the last course cannot slide on: cut off the back lip of its groove, drop it in "
                "and face-nail it",
                rule="3.11",
                measure=gap,
                limit=needed,
            )
        )


def _bare_groove(field: Field, said: Remarks, board: Board) -> None:
    """A first course ripped by less than its groove is deep shows the rest of it (3.10)."""
    first = field.laid.courses[0]
    left = first.face - (board.coverage - board.grooved)
    if not field.first_covered and first.rip == "start" and left > 0:
        said.find(
            Finding(
                "groove-shows",
                f"{field.task.at}.{first.number}",
                f"the first course is ripped so little that {both(left)} of its groove is left "
                "open at the bare edge: turn that edge to the wall, cover it, or aim the courses "
                "elsewhere",
                rule="3.10",
                measure=left,
                limit=0,
            )
        )


def _whole_first(task: Task, said: Remarks, chosen: Ranked, ways: Ways) -> None:
    """A first course lies whole at a soffit's outer edge and a wall's bottom, if it can."""
    whole = ways.is_whole(chosen)
    if whole and ways.whole_at == "outer edge" and task.layer.start_side is None:
        said.find(
            Finding(
                "outer-edge",
                task.at,
                "the low side is taken for the outer edge, which is seen, and the first course "
                "lies whole there: if the other side is, send `start_side`: high",
                rule="3.18",  # no cure: only the caller knows which side is seen
            )
        )
    if ways.whole_by_default and not (whole or task.layer.aim or ways.edges.none):
        code, rule = _RIPPED[ways.whole_at or "bottom"]
        said.find(
            Finding(
                code,
                task.at,
                f"a whole first course at the {ways.whole_at} would leave a rip under "
                f"{both(ways.limits.hard)} at another edge: the width is shared otherwise",
                rule=rule,
                measure=chosen.scheme.first,
            )
        )


_RIPPED = {
    "bottom": ("bottom-ripped", "3.9"),
    "outer edge": ("outer-edge-ripped", "3.18"),
    "outside corner": ("corner-ripped", "3.16"),
    "rim": ("rim-ripped", "3.17"),
}
"""The finding where the first course cannot lie whole, and its rule."""


def _starter(task: Task, said: Remarks, laid: Laid, board: Board) -> None:
    """Lapped boards start on a strip that tilts the first course as the others tilt (3.15)."""
    if board.lapped and task.layer.starter is None:
        length = sum(run.high - run.low for run in laid.runs if laid.course(run.course).first)
        said.find(
            Finding(
                "starter-strip",
                f"{task.at}.1",
                f"the first course needs a starter strip behind its low edge, {both(length)} in "
                "all: it is not in the order, for no `starter` is named",
                rule="3.15",
                measure=length,
            )
        )


def _narrow_ends(task: Task, said: Remarks, laid: Laid, least: int) -> None:
    """Runs that taper: narrower than a rip may be, a board's width in from an end (3.8, 4.4)."""
    widths = [
        (_width_at(run.polygon, at), f"{task.at}.{run.course}.{run.number}")
        for run in laid.runs
        if not run.polygon.is_box
        for at in _near_ends(run, laid.course(run.course).face)
    ]
    narrow = sorted(one for one in widths if 0 < one[0] < least)
    if narrow:
        said.find(
            Finding(
                "end-narrow",
                narrow[0][1],
                f"{len(narrow)} ends taper to under {both(least)} within a board's width of the "
                f"end, the narrowest to {both(narrow[0][0])}: they cannot be nailed there",
                rule="4.4",
                measure=narrow[0][0],
                limit=least,
            )
        )


def _near_ends(run: Run, face: int) -> list[int]:
    """Stations one face in from each end; none on a run that is hardly longer."""
    return [] if run.high - run.low < 3 * face else [run.low + face, run.high - face]


def _width_at(polygon: Polygon, station: int) -> int:
    """How wide a run is at a station, where what lies before it ends."""
    low, high = polygon.box[:2]
    if not low < station < high:
        return 0
    there = edges_before(polygon, station)
    return max(there) - min(there) if there else 0


def _dropped(task: Task, said: Remarks, laid: Laid) -> None:
    for polygon in without_needles(laid.dropped):
        low, high, near, _ = polygon.box
        said.find(
            Finding(
                "run-dropped",
                task.at,
                f"a part {both(high - low)} long at the mark {both(low)}, {both(near)} across is "
                "too short to board: the trim covers it",
                rule="4.4",
                measure=high - low,
                limit=task.rules.min_run,
            )
        )
