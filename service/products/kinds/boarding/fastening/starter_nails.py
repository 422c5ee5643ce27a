"""Nails of a starter strip: one where it crosses a member, two in each piece at least (18.2)."""

from __future__ import annotations

from collections.abc import Iterator

from service.fastening.reach import Reach, Way, reach_of
from service.products.fasteners import NamedFastener, holding_length, need_of
from service.products.goods.fastener.spec import FastenerProduct
from service.products.kinds.boarding.records import PlacedBoards
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.starter import starter_of
from service.products.laths import Lath, Laths
from service.products.remarks import Remarks
from service.products.rows import FastenerRow


def starter_nails(placed: PlacedBoards, said: Remarks) -> Iterator[FastenerRow]:
    """The nails of the starter strip, of the fastener that the boards have."""
    layer = placed.laid
    starter = starter_of(layer)
    if starter is None:
        return
    task, named = layer.task, _named(layer.task)
    touch, lines = task.rules.min_touch, layer.detail.lines

    def nails(lath: Lath) -> int:
        return max(2, len(lines[lath.line.course].touched(lath.low, lath.high, touch)))

    yield FastenerRow(
        surface=task.surface.id,
        layer=task.layer_id,
        product=None if named is None else named[0].id,
        where="starter",
        pattern="face",
        place="face",
        spacing=None,
        count=sum(map(nails, starter.laths)),
        counted="starter strip x framing, two in each piece at least",
        reach=_reach(task, starter, named, said),
    )


def _named(task: Task) -> NamedFastener | None:
    name = task.layer.fastening.product if task.layer.fastening else None
    return None if name is None else task.named(name, FastenerProduct)


def _reach(task: Task, starter: Laths, named: NamedFastener | None, said: Remarks) -> Reach | None:
    """The shortest length that holds behind the strip as the boards' own must behind them."""
    if named is None:
        return None
    thick = starter.task.product.thickness
    way = Way(thick, task.ground.plies, carrier="wood", depth=task.ground.depth)
    need = need_of(task, named[0].shank, said)
    return reach_of(holding_length(task, named, [way], need, said), way)
