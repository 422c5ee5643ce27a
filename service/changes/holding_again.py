"""What holds and seals anew what stays up: what is cut, loosened or put back (21.4)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from service.changes.covering import Loosened, Place
from service.changes.opening import Opened
from service.products.remarks import Remarks
from service.products.rows import ConsumableRow, FastenerRow
from service.products.standing import Reopened
from service.takeoff.pipeline import Takeoff


def nails_again(
    before: Takeoff, after: Takeoff, opened: Opened, over: Mapping[Place, Loosened]
) -> Iterator[FastenerRow]:
    """The fasteners of all layers that are up and are opened; those that were there are lost.

    Raises TradeRefused where none of the lengths of a fastener holds.
    """
    was = {one.laid.task.at: one for one in before.placed}
    kinds = {one.task.at: one.kind for one in after.job.layers}
    for now in after.placed:
        task = now.laid.task
        found, again = opened.layers.get(task.at), kinds[task.at].fasten_again
        loose = over.get((task.surface.id, task.layer_id))
        if found is not None and again is not None:
            reopened = Reopened(found.stays, () if loose is None else loose.over)
            yield from again(was[task.at], now, reopened, Remarks())


def tape_again(before: Takeoff, after: Takeoff, opened: Opened) -> Iterator[ConsumableRow]:
    """The tape round openings that are new, moved or of another size, where all else stays up.

    A layer of which some is laid anew counts its own.
    """
    was = {one.task.at: one.task.surface.openings for one in before.laid}
    kinds = {one.task.at: one.kind for one in after.job.layers}
    for layer in after.laid:
        found, again = opened.layers.get(layer.task.at), kinds[layer.task.at].seal_again
        if found is not None and found.complete and again is not None:
            there = {one.id: one.cut for one in was[layer.task.at]}
            new = (one.id for one in layer.task.surface.openings if there.get(one.id) != one.cut)
            yield from again(layer, frozenset(new))
