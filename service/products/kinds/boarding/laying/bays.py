"""The fields of a layer that are laid each by itself: all that it has, or its bays (5.10)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from service.geometry.frame import Frame
from service.geometry.rings import Region, bounds
from service.products.kinds.boarding.laying.corners import starts_at_low_side
from service.products.kinds.boarding.rulings import Task


def fields_of(task: Task, frame: Frame) -> list[Task]:
    """The fields that are laid each by itself, the first one at the side where work starts (5.10).

    All that there is as one, unless its bays are to be laid each by itself.
    """
    parts, low = task.surface.parts, starts_at_low_side(task)
    if len(parts) < 2:
        return [task]
    boxes = {part: bounds(frame.region((part,))) for part in parts}
    alone = task.ground.split and not _share_courses(list(boxes.values()))
    if task.rules.bays("per_bay" if alone else "continuous") == "continuous":
        return [task]
    order = sorted(parts, key=lambda one: (boxes[one][2] if low else -boxes[one][3], boxes[one][0]))
    return [_only(task, tuple(other for other in parts if other is not one)) for one in order]


def _share_courses(boxes: Sequence[tuple[int, int, int, int]]) -> bool:
    """Whether courses would run on from one part into another, beyond what parts them."""
    spans = sorted((near, far) for _, _, near, far in boxes)
    return any(far > near for (_, far), (near, _) in pairwise(spans))


def _only(task: Task, others: Region) -> Task:
    """The task of a layer on a part of its surface: on it without the `others`."""
    ground = task.ground
    return replace(task, ground=replace(ground, surface=ground.surface.less(others)))
