"""What should be said of marks that courses were to meet: each that is missed, by how much, why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.errors import Cure, Finding
from service.layout.ranking import Ranked
from service.products.kinds.boarding.records import Field
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.spec import Aim
from service.products.remarks import Remarks
from service.units.writing import both

NEAREST: Final = {
    "joint": "the nearest joint between boards",
    "centre": "the nearest board's middle",
}
"""What lies nearest to an aim."""


def say_aims(task: Task, said: Remarks, fields: Sequence[Field]) -> None:
    """Aims that are missed, and those in no bay."""
    held = task.layer.start is not None and all(_met(field) for field in fields)
    cure = Cure(f"{task.pointer}/start", None) if held else None
    for field in fields:
        for aim, miss in _missed(field):
            said.find(
                Finding(
                    "feature-missed",
                    task.at,
                    f"{NEAREST[aim.on]} misses your mark at {both(aim.at)} by {both(miss)}; "
                    f"{_why(field)}",
                    rule="3.7",
                    measure=miss,
                    limit=task.rules.feature_tolerance,
                    cure=cure,
                )
            )
    _in_no_bay(task, said, fields)


def _missed(field: Field) -> Iterator[tuple[Aim, int]]:
    """The aims of a field that its courses miss, and by how much."""
    tolerance = field.task.rules.feature_tolerance
    for aim, miss in zip(field.ways.aims, field.chosen.misses, strict=False):
        if miss > tolerance:
            yield aim, miss


def _able(field: Field) -> list[Ranked]:
    """The ways that were compared in which every aim is met, but for one that must be asked for."""
    tolerance = field.ways.limits.tolerance
    return [
        one for one in field.found if one.meets(tolerance) and one.scheme.start != "balanced_narrow"
    ]


def _met(field: Field) -> bool:
    """Whether every aim is met in a way whose rips are not too narrow."""
    return any(not one.fails for one in _able(field))


def _why(field: Field) -> str:
    """Why no course lies there, and what would do."""
    ways = field.ways
    if ways.lapped:
        return "lapped boards begin where `course_lines` says"
    if ways.sent and _met(field):
        return f"`start`: {ways.sent} holds the courses; without it they lie by your marks"
    widest = max((one.smallest_rip or 0 for one in _able(field)), default=None)
    if widest is not None:
        return (
            f"the start that meets it leaves a rip of {both(widest)}, under the least of "
            f"{both(ways.limits.hard)}: `min_rip` says how narrow one may be"
        )
    if len(ways.aims) == 1:
        return "no course reaches there: check the mark's station"
    marks = "both marks" if len(ways.aims) == 2 else f"all {len(ways.aims)} marks"
    return (
        f"no start of the courses meets {marks}, and with this one the largest miss is the least: "
        "leave out the mark that matters least"
    )


def _in_no_bay(task: Task, said: Remarks, fields: Sequence[Field]) -> None:
    """An aim that lies in none of the bays that are laid each by itself (5.10)."""
    met = [aim for one in fields for aim in one.ways.aims]
    for aim in task.layer.aim or ():
        if aim not in met:
            said.find(
                Finding(
                    "feature-missed",
                    task.at,
                    f"your mark at {both(aim.at)} lies in no bay that is laid by itself: no course "
                    "is laid by it",
                    rule="5.10",
                    measure=aim.at,
                )
            )
