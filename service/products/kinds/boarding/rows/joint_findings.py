"""What should be said of placed joints: blocks, panel joints, and patterns that catch the eye."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from service.errors import Finding
from service.layout.runs import Run
from service.products.kinds.boarding.findings.places_in_words import by_station, courses
from service.products.kinds.boarding.joining.bans import SOFT, Ban, Key, bans_of
from service.products.kinds.boarding.joining.joint_runs import most_joints
from service.products.kinds.boarding.records import LaidBoards, Pieces
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.products.rows import JointRow
from service.units.ticks import INCH
from service.units.writing import agreeing, both, counted

EQUAL_STEP = 2 * INCH
"""Steps from course to course that differ by no more look equal (6.6)."""

SAME_STATION = 6 * INCH
"""Joints two courses apart that are nearer than this look like one line (6.6)."""


class Placed(NamedTuple):
    """One joint, and the extent of the run that it lies in; ticks."""

    at: int
    low: int
    high: int


Joints = dict[int, list[Placed]]
"""Joints by course, ascending."""


def say_joints(
    layer: LaidBoards, pieces: Pieces, joints: Sequence[JointRow], said: Remarks
) -> None:
    """Every finding that the joints of one layer give."""
    task = layer.task
    _say_blocks(task, joints, said)
    _say_many(layer, pieces, said)
    _say_near_holes(layer, pieces, said)
    _say_on_panel_joints(layer, pieces, said)
    by_course = _by_course(pieces)
    _say_staircases(task, by_course, said)
    _say_one_line(task, by_course, said)


def _say_blocks(task: Task, joints: Sequence[JointRow], said: Remarks) -> None:
    """Joints that no member carries need a block each (6.2)."""
    count = sum(joint.on == "block" and joint.bearing is None for joint in joints)
    if count and task.rules.backing == "none":
        said.find(
            Finding(
                "blocks-needed",
                task.at,
                f"{count} joints fall between members: a block behind each, as long as the "
                "clear bay; they are not in the order",
                rule="6.2",
            )
        )


def _say_many(layer: LaidBoards, pieces: Pieces, said: Remarks) -> None:
    """Runs with more joints than they should have: which, and that none was found with fewer."""
    task, joints = layer.task, Counter(run for run, _ in _joints(pieces))
    most = most_joints(task)
    if most is None:
        return
    many = [(count - most(run), run) for run, count in joints.items() if count > most(run)]
    if not many:
        return
    beyond = sum(extra for extra, _ in many)
    places = courses([run.course for _, run in many])
    said.find(
        Finding(
            "many-joints",
            task.at,
            f"{counted(beyond, 'joints')} more than runs should have, in {places}: no plan was "
            "found with fewer from the lengths in `stock` under the rules of joints; longer boards "
            "need fewer joints, and `most_joints` says how many are right",
            rule="6.3",
        )
    )


WHICH: dict[Key, tuple[str, str]] = {
    "joint_from_hole": ("an opening", "a step of the outline that cuts into its course"),
    "joint_beside_hole": ("the ends of an opening", "of a step of the outline in the next course"),
}
"""What joints of each soft ban are too near to: an opening, and a step."""


def _say_near_holes(layer: LaidBoards, pieces: Pieces, said: Remarks) -> None:
    """Joints nearer to openings and steps than is asked, since none was found further off (5.5)."""
    boards, task = layer.detail, layer.task
    if not boards.laid.cutouts:
        return
    asked = bans_of(task, boards)
    found: dict[Key, list[tuple[int, int, int]]] = defaultdict(list)
    bans: dict[int, list[Ban]] = {}
    for run, at in _joints(pieces):
        if id(run) not in bans:
            bans[id(run)] = asked.of(run, boards)
        for key in SOFT:
            near = [one for one in bans[id(run)] if one.key == key and one.shuts(at)]
            if near:
                found[key].append((min(one.clear(at) for one in near), at, run.course))
    for key, joints in found.items():
        limit = asked.asked[key]
        lie = agreeing(len(joints), "lies", "lie")
        places = by_station([(at, course) for _, at, course in joints])
        said.find(
            Finding(
                "joint-near-hole",
                task.at,
                f"{counted(len(joints), 'joints')} {lie} less than {both(limit)} from "
                f"{' or '.join(WHICH[key])}: {places}; no layout was found that keeps further off",
                rule="5.5",
                measure=min(joints)[0],
                limit=limit,
            )
        )


def _say_on_panel_joints(layer: LaidBoards, pieces: Pieces, said: Remarks) -> None:
    """Board joints that fall where the panels behind are jointed too (6.5)."""
    boards, task = layer.detail, layer.task
    if not any(boards.panel_joints.values()):
        return
    near = task.rules.min_touch
    found = [
        (run.course, at)
        for run, at in _joints(pieces)
        if any(abs(at - seam) < near for seam in boards.panel_joints_at(run))
    ]
    if found:
        course, at = found[0]
        said.find(
            Finding(
                "joint-on-panel-joint",
                task.at,
                f"{len(found)} joints fall where the panels behind are jointed too, the first in "
                f"course {course} at {both(at)}: nothing is wrong where a member stands there; "
                f"to keep them apart set `joint_from_panel_joint`, to {both(near)} or more",
                rule="6.5",
                measure=at,  # no cure: whether all joints keep apart shows when all is solved anew
            )
        )


def _joints(pieces: Pieces) -> Iterator[tuple[Run, int]]:
    """Every joint of a layer: its run and its station."""
    for a, b in pairwise(pieces.all):
        if a.run is b.run:
            yield a.run, a.cut.high


def _by_course(pieces: Pieces) -> Joints:
    found: Joints = defaultdict(list)
    for run, at in _joints(pieces):
        found[run.course].append(Placed(at, run.low, run.high))
    return {course: sorted(own) for course, own in found.items()}


def _say_staircases(task: Task, joints: Joints, said: Remarks) -> None:
    """Joints that climb in equal steps over four courses draw a slanting line (6.6)."""
    found = sorted({*_staircases(joints, 1), *_staircases(joints, -1)})
    if found:
        course, at = found[0]
        said.find(
            Finding(
                "staircase",
                task.at,
                f"joints stair-step over four courses {counted(len(found), 'times')}, first from "
                f"course {course} at {both(at)}: nothing is wrong, but the eye follows the line",
                rule="6.6",
                measure=at,
            )
        )


def _staircases(joints: Joints, way: int) -> Iterator[tuple[int, int]]:
    """Course and station where each staircase begins that rises (`way` 1) or falls (-1)."""
    for course, own in joints.items():
        for first in own:
            if _climbs([joints.get(course + step, ()) for step in (1, 2, 3)], first, way):
                yield course, first.at


def _climbs(courses: Sequence[Sequence[Placed]], first: Placed, way: int) -> bool:
    """Whether each of some courses has the next joint of a staircase in equal steps."""
    last, steps = first, list[int]()
    for own in courses:
        beside = _next(own, last, way)
        if beside is None:
            return False
        steps.append(abs(beside.at - last.at))
        if max(steps) - min(steps) > EQUAL_STEP:
            return False
        last = beside
    return True


def _next(joints: Sequence[Placed], last: Placed, way: int) -> Placed | None:
    """The nearest joint on one side of `last` in a run that lies beside its own, if any is."""
    if way > 0:
        side = range(bisect_right(joints, last.at, key=_station), len(joints))
    else:
        side = range(bisect_left(joints, last.at, key=_station) - 1, -1, -1)
    return next((joints[k] for k in side if _touching(joints[k], last)), None)


def _station(joint: Placed) -> int:
    return joint.at


def _touching(one: Placed, other: Placed) -> bool:
    """Whether the runs of two joints lie beside each other somewhere."""
    return one.low < other.high and other.low < one.high


def _say_one_line(task: Task, joints: Joints, said: Remarks) -> None:
    """Joints two courses apart at nearly one station draw an H (6.6)."""
    found = sorted(
        (course, one.at, abs(one.at - other.at))
        for course, own in joints.items()
        for one in own
        for other in joints.get(course + 2, [])
        if abs(one.at - other.at) < SAME_STATION and _touching(one, other)
    )
    if found:
        course, at, apart = found[0]
        said.find(
            Finding(
                "h-joint",
                task.at,
                f"{counted(len(found), 'times')}: the joints of two courses with one between them "
                f"lie within {both(SAME_STATION)}, first in courses {course} and {course + 2} at "
                f"{both(at)}",
                rule="6.6",
                measure=apart,
                limit=SAME_STATION,
            )
        )


def say_wild(task: Task, pieces: Pieces, said: Remarks) -> None:
    """Boards whose ends overhang are cut to one line when all are fastened (3.17)."""
    wild = [piece.wild for piece in pieces.all if piece.wild]
    if wild:
        said.find(
            Finding(
                "cut-to-line",
                task.at,
                f"{counted(len(wild), 'boards')} {agreeing(len(wild), 'is', 'are')} laid "
                f"{both(min(wild))} long at the overhang: snap a line when all are fastened, and "
                f"cut {agreeing(len(wild), 'it', 'them')} to it",
                rule="3.17",
                measure=min(wild),
            )
        )
