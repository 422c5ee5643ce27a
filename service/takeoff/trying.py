"""What of a job a cure of one layer moves: all else stands as it was found.

A layer that stands on the same as before, wants the same of its product and gave up no other rule
is placed and held as before; of it a trial could show nothing new.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from service.errors import Cure
from service.products.ground import Ground
from service.products.layer import AnyLaid
from service.takeoff.job import Job, LayerJob
from service.takeoff.laying import LaidOne

Picking = Callable[[Sequence[LaidOne]], Sequence[LaidOne]]
"""The layers that are taken further, of those that were laid."""


def picking(job: Job, at: str, cure: Cure, before: Mapping[str, AnyLaid]) -> Picking | None:
    """The layers of a job that a `cure` of the one at that place moves.

    `before` are the layers without it, by place. None where it changes more than that layer, or
    layers that bear others' joints, moisture or what is up already tie all together.
    """
    own = next((one for one in job.layers if one.task.at == at), None)
    tied = job.moisture is not None or any(
        one.is_up or one.task.standing is not None or one.kind.bear is not None
        for one in job.layers
    )
    edits = [one.pointer for one in (cure, *cure.also)]
    if own is None or tied or not all(to.startswith(f"{own.task.pointer}/") for to in edits):
        return None
    return lambda laid: _moved(laid, at, before)


def _moved(laid: Sequence[LaidOne], at: str, before: Mapping[str, AnyLaid]) -> list[LaidOne]:
    """The layer at that place, those that lie otherwise now, and all that share their products."""
    found = [one for one in laid if one.job.task.at == at or not _stands(one, before)]
    products = {name for one in found for name in _products(one)}
    more = [one for one in laid if products & _products(one)]
    while len(more) > len(found):
        found = more
        products = {name for one in found for name in _products(one)}
        more = [one for one in laid if products & _products(one)]
    return found


def _stands(one: LaidOne, before: Mapping[str, AnyLaid]) -> bool:
    """Whether a layer lies as it did before, for all that its product or what holds it can tell."""
    was = before.get(one.job.task.at)
    if was is None or one.said.relaxed:
        return False
    alike = _seen(one.layer.task.ground) == _seen(was.task.ground)
    return alike and replace(one.layer, task=was.task) == was


def _seen(ground: Ground) -> Ground:
    """What a layer stands on, wherever panels behind meet: that is told of it, and no more."""
    return replace(ground, over=tuple(replace(one, joints=()) for one in ground.over))


def _wanted(one: LayerJob, layer: AnyLaid) -> list[tuple[str, object]]:
    """What a layer wants of which products."""
    return [(need.task.product.id, need.wanted) for need in one.kind.needs(layer)]


def _products(one: LaidOne) -> set[str]:
    return {one.job.task.product.id, *(name for name, _ in _wanted(one.job, one.layer))}
