"""Every layer laid on what it stands on, and those of one product jointed with its stock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from service.errors import Fault, TradeRefused
from service.products.ground import Ground
from service.products.layer import AnyLaid, AnyTask
from service.products.remarks import Remarks
from service.takeoff.job import Job, LayerJob


@dataclass(frozen=True, slots=True)
class LaidOne:
    """One layer as it is laid, and what was said of it then."""

    job: LayerJob
    layer: AnyLaid
    said: Remarks


def lay_all(job: Job) -> list[LaidOne]:
    """Every layer laid, each knowing what it stands on.

    The faults of all surfaces are collected before any is raised; a layer on one that was refused
    is not tried, for it would not know what it lies on.
    """
    laid: list[LaidOne] = []
    faults = list(job.faults)
    grounds: dict[str, Ground] = {}
    refused: set[str] = set()
    rests: dict[tuple[str, str], int | None] = {}
    for one in job.layers:
        name = one.task.surface.id
        if name in refused:
            continue
        task, said = _beside(_on(one.task, grounds), rests), Remarks()
        try:
            _check_left(one, task)
            layer = one.kind.lay(task, said)
            _check_open(one, layer)
        except TradeRefused as refusal:
            faults += refusal.faults
            refused.add(name)
            continue
        grounds[name] = task.ground.under(layer.offered)
        rests[name, task.product.id] = layer.offered.rest
        laid.append(LaidOne(one, layer, said))
    if faults:
        raise TradeRefused(*faults)
    return laid


def _beside(task: AnyTask, rests: Mapping[tuple[str, str], int | None]) -> AnyTask:
    """The task of a layer that knows what was left of boards laid before on other surfaces."""
    return replace(task, ground=replace(task.ground, rests=dict(rests))) if rests else task


def _check_left(one: LayerJob, task: AnyTask) -> None:
    """Refuse a layer to which those behind it, or openings, leave nothing of its surface (1.1)."""
    if not task.surface.parts:
        text = "what is laid behind takes all of the surface: nothing is left to lay this on"
        raise TradeRefused(Fault("nothing-left", text, task.pointer, rule="5.9"))
    if not one.kind.along_edges and not task.surface.net:
        text = "openings take all of the surface: check their sizes"
        raise TradeRefused(Fault("nothing-left", text, task.pointer, rule="1.1"))


def _check_open(one: LayerJob, layer: AnyLaid) -> None:
    """Refuse a layer that covers what one behind it closes, as beams over boards do."""
    closed = [behind.closes for behind in layer.task.ground.over if behind.closes is not None]
    if closed and layer.offered.closes is None and not one.kind.along_edges:
        text = (
            "beams lie over what was laid before them (`mode` boards_over), and this layer stands "
            "after them in `layers`: put it before the beams, or let it end at them"
        )
        fault = Fault("laid-over-beams", text, layer.task.pointer, closed[0], rule="5.9")
        raise TradeRefused(fault)


def settled(laid: Sequence[LaidOne], chosen: Mapping[int, object]) -> list[LaidOne]:
    """The layers with the joints that were `chosen` for some of them, by number.

    What is laid on joints that moved is laid anew; raises TradeRefused where that cannot be.
    """
    grounds: dict[str, Ground] = {}
    found = []
    for number, one in enumerate(laid):
        task = _on(one.layer.task, grounds)
        again = _again(one, task, chosen.get(number))
        if task is not one.layer.task or again.layer.offered != one.layer.offered:
            grounds[task.surface.id] = task.ground.under(again.layer.offered)
        found.append(again)
    return found


def _on(task: AnyTask, grounds: dict[str, Ground]) -> AnyTask:
    """The task of a layer on what was laid before it on its surface."""
    ground = grounds.get(task.surface.id)
    return task if ground is None else replace(task, ground=ground)


def _again(one: LaidOne, task: AnyTask, chosen: object) -> LaidOne:
    """A layer with the joints chosen for it, if any were, on what its task says it stands on."""
    kind, moved = one.job.kind, task is not one.layer.task
    if kind.settle is not None and chosen is not None:
        said = Remarks(relaxed=list(one.said.relaxed))
        layer = kind.settle(replace(one.layer, task=task), chosen, said)
        return LaidOne(one.job, layer, said)
    if kind.settle is None and moved:
        said = Remarks()
        return LaidOne(one.job, kind.lay(task, said), said)
    return replace(one, layer=replace(one.layer, task=task))
