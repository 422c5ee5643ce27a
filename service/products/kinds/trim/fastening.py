"""Nails of trim: at a spacing along every piece, in so many rows (18.1)."""

from __future__ import annotations

from service.fastening.reach import Need, Reach, Way, reach_of
from service.fastening.spacing import points
from service.products.fasteners import NamedFastener, holding_length, named_fastener
from service.products.kinds.trim.records import PlacedTrim
from service.products.kinds.trim.rulings import Task
from service.products.put_back import again
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.standing import Reopened


def fasten(placed: PlacedTrim, said: Remarks) -> tuple[FastenerRow, ...]:
    """The nails of one layer, none nearer to the end of a piece than a nail may be."""
    task = placed.laid.task
    if not placed.pieces:
        return ()
    rules = task.rules
    along = (points(one.cut, rules.trim_spacing, rules.end_distance) for one in placed.pieces)
    named = named_fastener(task, said)
    row = FastenerRow(
        surface=task.surface.id,
        layer=task.layer_id,
        product=None if named is None else named[0].id,
        where="length",
        pattern="rows",
        place="face",
        spacing=rules.trim_spacing,
        count=rules.rows * sum(along),
        counted="points along each piece",
        reach=_reach(task, named, said),
    )
    return (row,)


def fasten_again(
    placed: PlacedTrim, after: PlacedTrim, opened: Reopened, said: Remarks
) -> tuple[FastenerRow, ...]:
    """The nails of pieces that are taken off, cut and put back."""
    return tuple(again(fasten, after, opened, said))


def _reach(task: Task, named: NamedFastener | None, said: Remarks) -> Reach | None:
    """The shortest length that goes through the trim and what it lies on, and holds (18.11)."""
    if named is None:
        return None
    way = Way(task.product.thickness, task.ground.plies, carrier="wood", depth=task.ground.depth)
    need = Need(task.rules.trim_bite)
    return reach_of(holding_length(task, named, [way], need, said), way)
