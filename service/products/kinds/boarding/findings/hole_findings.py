"""What should be said of the holes in a laid layer, and of the legs beside them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence

from service.errors import Cure, Finding, JsonValue, Ticks
from service.geometry.holes import Hole
from service.geometry.openings import LEAST_LAP
from service.layout.legs import Leg
from service.layout.runs import NOTHING, Course, Cutout, Laid
from service.layout.square_ends import SquareEnd
from service.products.goods.board.board import Board
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.units.writing import agreeing, both, counted


def say_holes(task: Task, said: Remarks, holes: Sequence[Hole], laid: Laid, board: Board) -> None:
    """What should be said of the holes: merged, long, or on a joint that a board could spare."""
    for hole in holes:
        _merged(task, said, hole)
    for cutout in laid.cutouts:
        _long(task, said, cutout)
    met: dict[str, list[Cutout]] = defaultdict(list)
    for cutout in laid.cutouts:
        met[cutout.opening].append(cutout)
    for hole in holes:
        own = [(laid.course(cutout.course), cutout) for cutout in met[hole.name]]
        _on_joint(task, said, hole, own, board)


def say_legs(
    task: Task, said: Remarks, legs: Sequence[Leg], cure_of: Callable[[Leg], Cure | None]
) -> None:
    """Legs that are cut out, and frail ones with the shift of the courses that cures them all."""
    frail = [leg for leg in legs if not leg.cut_out]
    cure = cure_of(frail[0]) if frail else None
    for leg in {
        (leg.opening, leg.course, leg.cut_out): leg for leg in _widest_first(legs)
    }.values():
        if leg.cut_out:
            _leg_cut_out(task, said, leg)
        else:
            _leg_frail(task, said, leg, cure)


def _widest_first(legs: Sequence[Leg]) -> list[Leg]:
    return sorted(legs, key=lambda leg: (leg.course, -leg.width))


def _merged(task: Task, said: Remarks, hole: Hole) -> None:
    """Openings with so little board between them that it is cut out too (5.1)."""
    if not hole.webs:
        return
    web, limit = min(hole.webs, key=lambda web: web.width), task.rules.merge_holes
    more = len(hole.webs) - 1
    beside = f" (with them {more + 1} such strips)" if more else ""
    said.find(
        Finding(
            "openings-merged",
            f"{task.surface.id}.{web.between[0]}",
            f"openings {web.between[0]} and {web.between[1]} are {both(web.width)} apart as cut, "
            f"under {both(limit)}: the board between them is cut out too{beside}",
            rule="5.1",
            measure=web.width,
            limit=limit,
        )
    )


def _long(task: Task, said: Remarks, cutout: Cutout) -> None:
    """A hole too long for the piece around it (5.2)."""
    long, length = task.rules.long_hole, cutout.high - cutout.low
    if cutout.effect == "hole" and length > long:
        said.find(
            Finding(
                "hole-long",
                f"{task.at}.{cutout.course}",
                f"opening {cutout.opening} is {both(length)} long inside one board; over "
                f"{both(long)} the board is frail there",
                rule="5.2",
                measure=length,
                limit=long,
            )
        )


def _leg_cut_out(task: Task, said: Remarks, leg: Leg) -> None:
    if leg.width <= NOTHING:
        return
    said.find(
        Finding(
            "leg-cut-out",
            f"{task.at}.{leg.course}",
            f"beside opening {leg.opening} a leg of {both(leg.width)}, under {both(leg.least)}, is "
            "cut out with the hole: the flange covers it",
            rule="5.2",
            measure=leg.width,
            limit=leg.least,
        )
    )


def say_square(task: Task, said: Remarks, holes: Sequence[Hole], ends: Sequence[SquareEnd]) -> None:
    """How many ends at each hole are cut square, for its ring covers what is left open (5.3)."""
    for hole in holes:
        own = [one for one in ends if one.opening == hole.name]
        if not own:
            continue
        deep = max(one.deep for one in own)
        are = agreeing(len(own), "is", "are")
        said.find(
            Finding(
                "ends-square",
                f"{task.surface.id}.{hole.openings[0]}",
                f"{counted(len(own), 'board ends')} at opening {hole.name} {are} cut square, "
                f"up to {both(deep)} short of its line: the ring covers that, and laps them by "
                f"{both(LEAST_LAP)} all the same",
                rule="5.3",
                measure=deep,
                limit=hole.spare,
            )
        )


def _place(leg: Leg) -> str:
    return leg.opening if leg.at_step else f"opening {leg.opening}"


def _leg_frail(task: Task, said: Remarks, leg: Leg, cure: Cure | None) -> None:
    mend = "a flange that covers it would let it be cut out"
    if leg.at_step:
        mend = "back it along its length"
    if cure is not None:
        mend += ", or the courses can be moved"
    said.find(
        Finding(
            "leg-frail",
            f"{task.at}.{leg.course}",
            f"beside {_place(leg)} a leg of {both(leg.width)} is left; under "
            f"{both(leg.least)} it may split: {mend}",
            rule="5.2",
            measure=leg.width,
            limit=leg.least,
            cure=cure,
        )
    )


def _on_joint(
    task: Task, said: Remarks, hole: Hole, met: Sequence[tuple[Course, Cutout]], board: Board
) -> None:
    """A hole that one board could hold but that falls on a joint between two (22.2)."""
    if len(met) < 2 or any(one.effect == "cut_in_two" for _, one in met):
        return
    if max(one.high - one.low for _, one in met) > task.rules.long_hole:
        return  # too long for one board as well
    low = min(course.low + one.legs[0] for course, one in met)
    high = max(course.high - one.legs[1] for course, one in met)
    if high - low + 2 * task.rules.min_leg > board.coverage:
        return
    centre = (low + high) // 2
    plain = not task.surface.mirrored and task.surface.slope is None
    aim: JsonValue = [{"at": Ticks(centre), "on": "centre"}]
    said.find(
        Finding(
            "hole-on-joint",
            f"{task.surface.id}.{hole.openings[0]}",
            f"opening {hole.name} falls on the joint between two courses; one board could hold it "
            f"whole with its centre at {both(centre)}",
            rule="22.2",
            cure=Cure(f"{task.pointer}/aim", aim) if plain else None,
        )
    )
