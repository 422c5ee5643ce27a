"""Rows of blocks that stand behind boards which run with the members (15.2)."""

from __future__ import annotations

from dataclasses import replace

from service.errors import Cure, Fault, TradeRefused
from service.geometry.edges import sides_of
from service.geometry.frame import Frame
from service.geometry.surface import Member
from service.layout.bearings import bearings_of
from service.layout.blocks import FROM_END, block_rows, tape_marks
from service.layout.runs import NOTHING
from service.products.goods.board.board import Board
from service.products.kinds.boarding.laying.gaps import walls_of
from service.products.kinds.boarding.rulings import Task

MOST_BLOCKS = 20_000
"""Blocks behind one layer: more than a hall of 100 x 100 ft has in rows 16 in apart."""


def with_blocks(task: Task, board: Board, frame: Frame) -> tuple[Task, tuple[int, ...]]:
    """The task as its boards bear, and the stations of the rows of blocks behind them (ticks).

    `frame` is that of the direction asked for. Boards that cross members have no rows. Where no
    panel is behind those that do not, the rows are their only bearings, as lines of straps are.
    Raises TradeRefused where nothing bears them, or the rows are more blocks than anybody cuts.
    """
    ground = task.ground
    if not ground.bearings or bearings_of(ground.bearings, frame):
        return task, ()
    rows = _rows(task, board, frame) if task.layer.blocks else ()
    if ground.backing is not None:
        return task, rows
    if not rows or ground.depth is not None:
        raise _nothing_to_nail(task)
    return replace(task, ground=ground.blocked(tuple(_line(frame, at) for at in rows))), rows


def _rows(task: Task, board: Board, frame: Frame) -> tuple[int, ...]:
    extent = max(frame.to(corner)[0] for corner in task.surface.outline)
    gaps = (0, 0) if task.rules.plates else _end_gaps(task, board, frame, extent)
    marks = tape_marks(task.rules.block_marks, task.rules.cut_to)
    rows = block_rows(extent, task.rules.block_spacing, gaps=gaps, marks=marks)
    count = len(rows) * len(task.ground.bearings)
    if count > MOST_BLOCKS:
        text = f"rows this near to each other are {count} blocks; at most {MOST_BLOCKS} are counted"
        raise TradeRefused(
            Fault("blocks-too-many", text, f"{task.pointer}/rules/block_spacing", rule="15.2")
        )
    return rows


def _end_gaps(task: Task, board: Board, frame: Frame, extent: int) -> tuple[int, int]:
    """The widest gap at walls square to the boards, at either end of the outline (ticks)."""
    margins = walls_of(task, board).margins
    edges = [edge.within(frame) for edge in margins.edges]
    rings = (ring for polygon in frame.region(task.surface.parts) for ring in polygon.rings)
    sides = [side for ring in rings for side in sides_of(ring, edges)]

    def widest(at: int) -> int:
        ends = ((side, side.start[0] - at, side.end[0] - at) for side in sides)
        found = (margins.at(side.edge) for side, a, b in ends if max(abs(a), abs(b)) <= NOTHING)
        return max(found, default=0)

    return widest(0), widest(extent)


def _line(frame: Frame, at: int) -> Member:
    """A row from wall to wall as what boards bear on: blocks, and the members between them."""
    (a, b), (x, y) = frame.along, frame.back((at, 0))
    return Member(a, b, round(a * x + b * y), 2 * FROM_END)


def _nothing_to_nail(task: Task) -> TradeRefused:
    """Boards along the framing with neither panel nor blocks hold on to nothing (6.2, 15.2)."""
    turned = Cure(f"{task.pointer}/direction", float((task.layer.direction + 90) % 180))
    blocks = Cure(f"{task.pointer}/blocks", value=True)
    on_straps = task.ground.depth is not None
    ways = "turn them" if on_straps else "set rows of blocks between the members (`blocks`: true)"
    return TradeRefused(
        Fault(
            "no-bearing",
            "the boards run with what is behind them, and nothing there takes their fasteners: "
            f"{ways}, {'' if on_straps else 'turn them, '}or give the surface a `backing`",
            f"{task.pointer}/direction",
            cure=turned if on_straps else blocks,
            rule="6.2" if on_straps else "15.2",
        )
    )
