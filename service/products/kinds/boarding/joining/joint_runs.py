"""Stock and runs of one product as the joint solver wants them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Literal

from service.cutting.records import Stock
from service.cutting.sticks.rips import RipWidth
from service.joints.free_joints import (
    most_stations,
)
from service.joints.records import JointRules, JointRun, Places, Slant
from service.layout.runs import SNAPPED, Cutout, Run
from service.products.kinds.boarding.joining.allowed import Allowed, Span
from service.products.kinds.boarding.joining.bans import Ban, Bans
from service.products.kinds.boarding.joining.mitring import slants_of
from service.products.kinds.boarding.records import Boards, LaidBoards
from service.products.kinds.boarding.rulings import OneEach, Task
from service.products.kinds.boarding.walls import Wall


def places_of(task: Task, boards: Boards) -> Places:
    """Where end joints may be: as asked, or by what stands behind the boards (6.2)."""
    backed = task.ground.backing is not None
    plain: Literal["framing", "framing_or_block", "sheathing", "floating"] = "framing"
    if boards.on_rows:
        plain = "framing_or_block"
    if backed and (boards.along_framing or boards.board.end_matched):
        plain = "sheathing"
    elif boards.board.end_matched:
        plain = "floating"
    return Places(task.rules.joints(plain))


def joint_rules(task: Task, boards: Boards, places: Places) -> JointRules:
    """The joint rules of a layer, with the framing's only where framing carries the joints.

    Rows of blocks that are the only bearings are where they are before anything is laid: joints
    land on them as on members, and ask for no further block (15.2).
    """
    rules = task.rules
    open_framing = not boards.along_framing and places in (
        Places.FRAMING,
        Places.FRAMING_OR_BLOCK,
    )
    bearings = rules.min_bearings if open_framing else 0
    on_rows = boards.on_rows and places is Places.FRAMING_OR_BLOCK
    return JointRules(
        places=Places.FRAMING if on_rows else places,
        min_piece=rules.min_piece,
        min_bearings=2 if places is Places.FLOATING else bearings,
        stagger=rules.stagger,
        repeat=rules.repeat,
        cut_to=rules.cut_to,
        min_touch=rules.min_touch,
        end_matched=boards.board.end_matched,
        spares_joints=rules.trims(task.product).spares_joints,
    )


def joint_runs(
    stack: int,
    layer: LaidBoards,
    rules: JointRules,
    bans: Bans,
    end_bearing: int,
    stocks: Sequence[Stock],
    layers: int = 1,
) -> list[JointRun]:
    """A layer's runs with the stations at which each may be jointed.

    It is one of so many `layers` whose joints are weighed together.
    """
    boards: Boards = layer.detail
    trims = layer.task.rules.trims(layer.task.product)
    longest = max((stock.usable for stock in stocks), default=0)
    lines = [boards.line(run) for run in boards.laid.runs]
    shut = [
        _shut(bans.of(run, boards)) if run.high - run.low > longest - rules.cut_to else None
        for run in boards.laid.runs
    ]
    different = {
        (run.low, run.high, line, own)
        for run, line, own in zip(boards.laid.runs, lines, shut, strict=True)
        if own is not None
    }
    most, at = most_joints(layer.task), layer.task.at
    strips = [strip_of(boards, run) for run in boards.laid.runs]
    many = most_stations(layers * len(different))
    allowed = Allowed(rules, end_bearing, stocks, layer.task.rules.kerf, many)
    return [
        JointRun(
            stack, run.course, run.low, run.high,
            () if own is None else allowed.stations(run, line, own), line,
            f"{at}.{run.course}.{run.number}", strip=strip,
            face=boards.course(run).face,
            slants=slants_in(boards, run, rules.cut_to, strip),
            spared=(
                trims.spares(covered=ends[0].covered), trims.spares(covered=ends[1].covered)
            ),
            takes_more=(ends[0].takes_more, ends[1].takes_more),
            gives=(ends[0].gives, ends[1].gives),
            wild=(ends[0].wild, ends[1].wild),
            turned=not boards.low_is_left(run),
            most=None if most is None else most(run) + rules.extra,
            few=() if own is None else allowed.few(run, line, own),
        )
        for run, line, own, ends, strip in zip(
            boards.laid.runs, lines, shut, ends_of(boards), strips, strict=True
        )
    ]  # fmt: skip


def most_joints(task: Task) -> Callable[[Run], int] | None:
    """How many joints each run should have at most (6.3); None without limit.

    End-matched boards have no limit: their joints are where whole boards end.
    """
    most = task.rules.most_joints
    if most is None or task.product.ends == "end_matched":
        return None
    if isinstance(most, OneEach):
        return lambda run: most.of(run.high - run.low)
    return lambda _: most


def lost_sides(boards: Boards, run: Run, near: int, far: int) -> tuple[bool, bool]:
    """Whether a part of a run, from `near` to `far`, has lost the tongue's side and the groove's.

    For boards without a joint, the far side from the start and the near one.
    """
    course = boards.course(run)
    low_cut, high_cut = near > course.low, far < course.high
    start_cut, end_cut = (low_cut, high_cut) if course.starts_low else (high_cut, low_cut)
    return end_cut or course.rip in ("end", "both"), start_cut or course.rip in ("start", "both")


def ends_of(boards: Boards) -> list[tuple[Wall, Wall]]:
    """How the low and the high end of each run meet what lies there (8.1)."""
    if boards.perimeter.is_plain and not boards.laid.cutouts and not boards.beside.spans:
        usual = boards.perimeter.usual
        return [(usual, usual)] * len(boards.laid.runs)
    parted: dict[int, list[Cutout]] = defaultdict(list)
    for one in boards.laid.cutouts:
        if one.effect == "cut_in_two":
            parted[one.course].append(one)
    return [
        (
            _end(boards, parted[run.course], run, high=False),
            _end(boards, parted[run.course], run, high=True),
        )
        for run in boards.laid.runs
    ]


def _end(boards: Boards, parted: Sequence[Cutout], run: Run, *, high: bool) -> Wall:
    """What the furthest point of an end meets: an opening that parts its course, or a wall.

    An opening's edge is covered where a flange covers it; boards are rounded there as usual.
    """
    at = run.high if high else run.low
    if boards.beside.meets(run.course, at):
        return Wall(0, covered=False)
    for one in parted:
        if one.low - SNAPPED <= at <= one.high + SNAPPED:
            usual = boards.perimeter.usual
            return replace(
                usual,
                covered=one.opening in boards.flanged,
                cut_in_place=usual.takes_more,
                gives=False,
            )
    return boards.perimeter.at_end(run.polygon, high=high)


def slants_in(boards: Boards, run: Run, cut_to: int, strip: RipWidth | None) -> tuple[Slant, Slant]:
    """How far a run's low and high end lie behind their long points, seen with the tongue away.

    `strip` is the width that its boards are ripped to; None where they are whole.
    """
    slants = slants_of(run.polygon, cut_to, None if strip is None else boards.board.overall)
    if boards.frame.left_handed:
        slants = slants[0].mirrored, slants[1].mirrored
    if not boards.board.lapped:
        return slants
    low, high = (one._replace(cut=0) for one in slants)
    return low, high


def strip_of(boards: Boards, run: Run) -> RipWidth | None:
    """The width to which the boards of a run are ripped all along, and the edges they keep."""
    _, _, near, far = run.polygon.box
    tongue_lost, groove_lost = lost_sides(boards, run, near, far)
    if not (tongue_lost or groove_lost):
        return None
    width = far - near + (0 if tongue_lost else boards.board.lap)
    return RipWidth(width, low_edge=not groove_lost, high_edge=not tongue_lost)


def _shut(bans: Sequence[Ban]) -> tuple[Span, ...]:
    """The open intervals in which a run has no joint."""
    return tuple((one.low - one.off, one.high + one.off) for one in bans)
