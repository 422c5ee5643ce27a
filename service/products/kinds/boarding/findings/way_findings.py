"""What should be said of how courses were laid out: bays, corners and zones."""

from __future__ import annotations

from collections.abc import Sequence

from service.errors import Finding
from service.products.kinds.boarding.records import Field
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.units.ticks import whole
from service.units.writing import both


def say_ways(task: Task, said: Remarks, fields: Sequence[Field]) -> None:
    """Corners that are not wrapped, exposures of zones."""
    _not_wrapped(task, said, fields[0])
    for one in fields:
        _zones(one, said)


def _not_wrapped(task: Task, said: Remarks, first: Field) -> None:
    """Courses that cannot go on round a corner with what the last board left (3.16)."""
    if task.layer.wrap_corner is None or first.chosen.scheme.start == "wrapped":
        return
    said.find(
        Finding(
            "corner-not-wrapped",
            task.at,
            f"the courses of {task.layer.wrap_corner} do not go on round the corner: with the rest "
            "of its last board a rip elsewhere would be too narrow",
            rule="3.16",
        )
    )


def _zones(field: Field, said: Remarks) -> None:
    """The exposures of zones between lines at which courses begin (3.15)."""
    if not field.ways.zones:
        return
    shows = [whole(zone.exposure) for zone in field.ways.zones]
    told = ", ".join(
        f"{zone.count} of {both(one)}" for zone, one in zip(field.ways.zones, shows, strict=True)
    )
    said.find(
        Finding(
            "exposures-by-zone",
            field.task.at,
            f"courses by zone, from the start: {told}; exposures differ by up to "
            f"{both(max(shows) - min(shows))}",
            rule="3.15",
            measure=max(shows) - min(shows),
        )
    )
