"""Gaps at edges that cannot be: that leave nothing to board, or pass over a short edge."""

from __future__ import annotations

from math import hypot

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.products.goods.board.board import Board
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.walls import Walls
from service.units.ticks import whole
from service.units.writing import both


def walls_of(task: Task, board: Board) -> Walls:
    """How boards meet the walls around them; a wall is as thick as what is laid on it."""
    behind = task.ground.thick
    return task.rules.walls(task.surface.edges, behind + board.thickness)


def nothing_left(task: Task, walls: Walls) -> Fault:
    """That gaps and openings take it all; the cure is at an edge if its own gap is what does."""
    text = "gaps and openings leave nothing to board"
    own = [(edge, wall) for edge, wall in walls.told if edge.gap and wall.gap > walls.usual.gap]
    if not own:
        return Fault("nothing-left", f"{text}: check their sizes", task.pointer)
    edge, _ = max(own, key=lambda one: (one[1].gap, -one[0].number))
    at = f"{edge.pointer}/gap"
    return Fault(
        "nothing-left",
        f"{text}: edge {edge.number} has the widest gap",
        at,
        cure=Cure(at, Ticks(walls.usual.gap)),
        measure=edge.gap,
    )


def check_gaps(task: Task, walls: Walls) -> None:
    """Refuse gaps of which the wider passes over a short edge beside it."""
    short = walls.margins.passed_over(task.surface.parts)
    if short is None:
        return
    (ax, ay), (bx, by) = short
    length = whole(hypot(bx - ax, by - ay))
    raise TradeRefused(
        Fault(
            "gap-passes-edge",
            f"an edge {both(length)} long lies beside one with so much wider a gap that the two "
            "lines meet beyond its end: give both the same gap, or take the short edge out of "
            "the outline",
            f"{task.surface.pointer}/edges",
            rule="24",
            measure=length,
        )
    )
