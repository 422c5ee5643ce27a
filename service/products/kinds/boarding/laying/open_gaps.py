"""The gaps that boards leave at walls to be covered, as wide as they are once laid (3.10)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.geometry.edges import Side, sides_of
from service.geometry.ends import NEARLY_ALONG
from service.geometry.frame import Frame
from service.layout.runs import SNAPPED, Course
from service.products.gaps import OpenGap
from service.products.goods.board.board import Board
from service.products.kinds.boarding.laying.unsawn import Unsawn
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.walls import Walls
from service.units.ticks import SIXTY_FOURTH


def open_gaps(
    task: Task,
    walls: Walls,
    left: Sequence[Unsawn],
    first: Course,
    board: Board,
    frame: Frame,
) -> Iterator[OpenGap]:
    """The gap at each covered edge of the outline; a mitre is a joint, and none.

    A groove that stays open beside the wall must be hidden with it.
    """
    told = {edge.number: wall for edge, wall in walls.told}
    for ring in (ring for part in task.surface.parts for ring in part.rings):
        for side in sides_of(ring, task.surface.sides):
            edge = side.edge
            wall = walls.usual if edge is None else told.get(edge.number, walls.usual)
            if edge is None or edge.what == "mitre" or not wall.covered:
                continue
            wide = max((one.gap for one in left if _is_at(one, side)), default=wall.gap)
            groove = board.grooved if _is_grooved(side, wide, first, frame) else 0
            assumed = task.layer.edges is None and edge.what is None
            yield OpenGap((side.start, side.end), wide + groove, assumed)


def _is_at(one: Unsawn, side: Side) -> bool:
    """Whether what is not sawn lies along a side."""
    return max(side.off(one.edge.start), side.off(one.edge.end)) <= SNAPPED


def _is_grooved(side: Side, gap: int, first: Course, frame: Frame) -> bool:
    """Whether a whole first course has its groove at a side."""
    a, b = frame.to(side.start), frame.to(side.end)
    if first.rip in ("start", "both") or abs(b[1] - a[1]) > NEARLY_ALONG * abs(b[0] - a[0]):
        return False
    edge, way = (first.low, 1) if first.starts_low else (first.high, -1)
    return any(abs(end[1] + way * gap - edge) <= SIXTY_FOURTH for end in (a, b))
