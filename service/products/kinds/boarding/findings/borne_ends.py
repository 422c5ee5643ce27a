"""Board ends that backing bears, where it is counted: at walls, at openings and elsewhere (15)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

from service.geometry.rings import Point, Polygon, reaches
from service.layout.framing import Framing, framing_of
from service.layout.runs import Run
from service.products.kinds.boarding.findings.hanging_ends import End, at_opening, ends_of_runs
from service.products.kinds.boarding.records import Boards
from service.products.kinds.boarding.rulings import Task
from service.units.ticks import SIXTY_FOURTH

At: TypeAlias = Literal["wall", "opening", "edge"]


@dataclass(frozen=True, slots=True)
class BorneEnd:
    """An end that backing bears: whether it is its run's low one, where, and its line (x, y)."""

    run: Run
    low: bool
    at: At
    line: tuple[Point, Point]


def is_counted(task: Task) -> bool:
    """Whether backing is counted behind these boards: on bare members, no strapping, no panel."""
    bare = task.ground.depth is None and task.ground.backing is None
    return bare and task.rules.backing == "count"


def borne_ends(task: Task, boards: Boards) -> tuple[BorneEnd, ...]:
    """The ends that backing bears; none where it is not counted."""
    if boards.along_framing or not is_counted(task):
        return ()
    framing = framing_of(task.surface, task.ground.bearings)
    return () if framing is None else tuple(_borne(task, boards, framing))


def _borne(task: Task, boards: Boards, framing: Framing) -> Iterator[BorneEnd]:
    rules = task.rules
    limits = {"wall": rules.edge_nailer, "opening": rules.opening_nailer, "edge": rules.hanging_end}
    for number, end in enumerate(ends_of_runs(boards, boards.bearings)):
        low = number % 2 == 0
        line = _line(boards, end, low)
        at = _at(boards, framing, end, line)
        if end.by > limits[at]:
            yield BorneEnd(end.run, low, at, line)


def _line(boards: Boards, end: End, low: bool) -> tuple[Point, Point]:
    """The end of a run from the one edge of its course to the other."""
    shape = end.run.polygon
    _, _, near, far = shape.box
    return (
        boards.frame.back((_reach(shape, near + 1, low, end.at), near)),
        boards.frame.back((_reach(shape, far - 1, low, end.at), far)),
    )


def _reach(shape: Polygon, across: int, low: bool, otherwise: int) -> int:
    spans = reaches(shape, across, 1)
    return (spans[0][0] if low else spans[-1][1]) if spans else otherwise


def _at(boards: Boards, framing: Framing, end: End, line: tuple[Point, Point]) -> At:
    if at_opening(boards, end):
        return "opening"
    first, last = (framing.frame.to(point)[0] for point in line)
    return "wall" if abs(first - last) <= SIXTY_FOURTH else "edge"
