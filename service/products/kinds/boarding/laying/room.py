"""The room that boards have on a surface: the outline less its gaps, and the holes in it (3)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.errors import TradeRefused
from service.geometry.edges import Margins
from service.geometry.holes import Hole, holes_of
from service.geometry.plane import difference, union
from service.geometry.rings import Region
from service.products.goods.board.board import Board
from service.products.kinds.boarding.laying.gaps import check_gaps, nothing_left, walls_of
from service.products.kinds.boarding.laying.unsawn import Unsawn, narrowed
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.walls import Walls


@dataclass(frozen=True, slots=True)
class Room:
    """The room that boards have: the outline less its gaps, and the holes in it.

    `walls` are those around it, `margins` the gaps that are kept there, `inset` the outline less
    those, `region` that less the holes.
    """

    walls: Walls
    margins: Margins
    inset: Region
    region: Region
    holes: tuple[Hole, ...]


def room_of(task: Task, board: Board) -> Room:
    """The room that the boards have; refused where it is none."""
    walls = walls_of(task, board)
    inset = walls.margins.inset(task.surface.parts)
    holes = holes_of(task.surface.openings, task.rules.merge_holes)
    region = difference(inset, union(hole.cut for hole in holes))
    if not region:
        raise TradeRefused(nothing_left(task, walls))
    check_gaps(task, walls)
    return Room(walls, walls.margins, inset, region, holes)


def narrowed_room(task: Task, room: Room, left: Sequence[Unsawn]) -> Room:
    """The room with what courses that stay whole take of its gaps."""
    margins = narrowed(room.margins, left)
    inset = margins.inset(task.surface.parts)
    region = difference(inset, union(hole.cut for hole in room.holes))
    return replace(room, margins=margins, inset=inset, region=region)
