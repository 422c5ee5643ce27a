"""Boards that are up beside those that are laid, in stations (21.4)."""

from __future__ import annotations

from collections import defaultdict

from service.geometry.frame import Frame
from service.geometry.strips import in_strips
from service.layout.runs import Laid
from service.products.kinds.boarding.records import NOTHING_BESIDE, Beside
from service.products.kinds.boarding.rulings import Task


def beside_up(task: Task, frame: Frame, laid: Laid) -> Beside:
    """The boards that stay up in each course, and their joints with each other and with runs."""
    if task.standing is None or not task.standing.area:
        return NOTHING_BESIDE
    strips = [(course.low, course.high) for course in laid.courses]
    spans: dict[int, tuple[tuple[int, int], ...]] = {}
    for course, parts in zip(
        laid.courses, in_strips(frame.region(task.standing.area), strips), strict=True
    ):
        spans[course.number] = tuple(sorted(part.box[:2] for part in parts))
    joints: dict[int, set[int]] = defaultdict(set)
    for u, v in map(frame.to, task.standing.joints):
        for course in laid.courses:
            if course.low < v < course.high:
                joints[course.number].add(u)
    found = Beside(spans, {})
    for run in laid.runs:
        joints[run.course] |= {at for at in (run.low, run.high) if found.meets(run.course, at)}
    return Beside(spans, {course: tuple(sorted(own)) for course, own in joints.items()})
