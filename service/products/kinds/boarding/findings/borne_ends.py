"""Board ends that backing bears, where it is counted: at walls, at openings and elsewhere (15)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.geometry.edges import Side
from service.geometry.rings import Line
from service.layout.framing import Framing
from service.products.backed_edges import side_at, sides_around
from service.products.kinds.boarding.findings.hanging_ends import End, at_opening, ends_of_runs
from service.products.kinds.boarding.records import Boards, BorneAt, BorneEnd
from service.products.kinds.boarding.rulings import Task
from service.units.ticks import SIXTY_FOURTH


def is_counted(task: Task) -> bool:
    """Whether backing is counted behind these boards: on bare members, no strapping, no panel."""
    bare = task.ground.depth is None and task.ground.backing is None
    return bare and task.rules.backing == "count"


def borne_ends(task: Task, boards: Boards) -> tuple[BorneEnd, ...]:
    """The ends that backing bears; none where it is not counted."""
    if boards.along_framing or not is_counted(task):
        return ()
    framing = task.ground.framed
    return () if framing is None else tuple(_borne(task, boards, framing))


def _borne(task: Task, boards: Boards, framing: Framing) -> Iterator[BorneEnd]:
    rules = task.rules
    limits = {"wall": rules.edge_nailer, "hip": rules.edge_nailer, "edge": rules.hanging_end,
              "opening": rules.opening_nailer}  # fmt: skip
    sides, least = sides_around(task.surface), min(limits.values())
    for number, end in enumerate(ends_of_runs(boards, boards.bearings)):
        if end.by <= least:
            continue
        low = number % 2 == 0
        line = _line(boards, end, low)
        at = _at(boards, framing, sides, end, line)
        if end.by > limits[at]:
            yield BorneEnd(end.run, low, at, line)


def _line(boards: Boards, end: End, low: bool) -> Line:
    """The side of a run that its centre line ends at: beside a taper it is no longer than that."""
    shape = end.run.polygon
    left, right, near, far = shape.box
    if shape.is_plain:
        at, turn = (left, (far, near)) if low else (right, (near, far))
        return boards.frame.back((at, turn[0])), boards.frame.back((at, turn[1]))
    middle = (near + far) // 2
    sides = [
        (a, b)
        for ring in shape.rings
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
        if min(a[1], b[1]) <= middle < max(a[1], b[1])
    ]
    sides.sort(key=lambda side: _station(side, middle))
    first, last = sides[0 if low else -1] if sides else ((end.at, near), (end.at, far))
    return boards.frame.back(first), boards.frame.back(last)


def _station(side: Line, across: int) -> float:
    (a, v), (b, w) = side
    return a + (b - a) * (across - v) / (w - v)


def _at(boards: Boards, framing: Framing, sides: Sequence[Side], end: End, line: Line) -> BorneAt:
    if at_opening(boards, end):
        return "opening"
    first, last = (framing.frame.to(point)[0] for point in line)
    if abs(first - last) <= SIXTY_FOURTH:
        return "wall"
    return "edge" if sides[side_at(sides, line)].edge is None else "hip"
