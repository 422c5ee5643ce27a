"""What a measure that is off does to the order: the job again with each measure a little other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from service.errors import Ticks
from service.report.scale import scale_of
from service.schemas.quantities import length_in
from service.takeoff.job import Job
from service.units.ticks import INCH, METRIC, MM
from service.variations.entry import Edit, Entry, edited

OFF = (-INCH // 2, -INCH // 4, INCH // 4, INCH // 2)
OFF_METRIC = (-12 * MM, -6 * MM, 6 * MM, 12 * MM)
"""How far a measure is off, as tapes are read."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure of an outline: every place where it stands, and its value (ticks).

    `what` calls it: `length`, `width`, `side 2`, `diagonal 1`, `x`, `y`.
    """

    surface: str
    what: str
    pointers: tuple[str, ...]
    value: int


@dataclass(frozen=True, slots=True)
class Off:
    """A measure that is off by so many ticks."""

    measure: Measure
    by: int
    entry: Entry


def off(job: Job, asked: Any) -> list[Off]:
    """Every measure of every outline, off by each of the usual amounts."""
    scale = scale_of(job.unit)
    steps = OFF_METRIC if job.unit in METRIC else OFF
    return [
        Off(one, by, edited(_name(one, by), asked, _edits(one, by), scale))
        for one in measures(job, asked)
        for by in steps
    ]


def _name(one: Measure, by: int) -> str:
    return f"{one.surface} {one.what} {by}"


def _edits(one: Measure, by: int) -> list[Edit]:
    return [Edit(pointer, Ticks(one.value + by)) for pointer in one.pointers]


def measures(job: Job, asked: Any) -> Iterator[Measure]:
    """What was measured of each outline."""
    for k, one in enumerate(asked["surfaces"]):
        at, name = f"/surfaces/{k}", one["id"]
        if one.get("rectangle") is not None:
            yield from _listed(job, one["rectangle"], name, f"{at}/rectangle", ("length", "width"))
        elif one.get("sides") is not None:
            sides = tuple(f"side {n + 1}" for n in range(len(one["sides"])))
            yield from _listed(job, one["sides"], name, f"{at}/sides", sides)
            across = tuple(f"diagonal {n + 1}" for n in range(len(one["diagonals"])))
            yield from _listed(job, one["diagonals"], name, f"{at}/diagonals", across)
        else:
            yield from _corners(job, one["outline"], name, f"{at}/outline")


def _listed(
    job: Job, sent: list[Any], name: str, at: str, names: tuple[str, ...]
) -> Iterator[Measure]:
    for k, (value, what) in enumerate(zip(sent, names, strict=True)):
        yield Measure(name, what, (f"{at}/{k}",), length_in(value, job.unit))


def _corners(job: Job, sent: list[Any], name: str, at: str) -> Iterator[Measure]:
    """Stations of corners from the lowest one: those on one line are one measure."""
    for axis, what in ((0, "x"), (1, "y")):
        lines: dict[int, list[str]] = {}
        for k, corner in enumerate(sent):
            place = length_in(corner[axis], job.unit)
            lines.setdefault(place, []).append(f"{at}/{k}/{axis}")
        for place in sorted(lines)[1:]:
            yield Measure(name, what, tuple(lines[place]), place)
