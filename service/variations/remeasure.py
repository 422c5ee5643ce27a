"""What a measure that is off does to the order: the job again with each measure a little other."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

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
    """One measure: every place where it stands with what stands there, and its value (ticks).

    `what` calls it: `length`, `width`, `side 2`, `diagonal 1`, `x`, `y`; `left of hatch`, `first
    member`.
    """

    surface: str
    what: str
    places: tuple[tuple[str, int], ...]
    value: int


@dataclass(frozen=True, slots=True)
class Off:
    """A measure that is off by so many ticks, of what question."""

    question: str
    measure: Measure
    by: int
    entry: Entry


def off(job: Job, asked: Any, questions: Collection[str]) -> list[Off]:
    """Every measure that the questions are about, off by each of the usual amounts."""
    scale = scale_of(job.unit)
    steps = OFF_METRIC if job.unit in METRIC else OFF
    return [
        Off(question, one, by, edited(_name(one, by), asked, _edits(one, by), scale))
        for question, measured in MEASURED.items()
        if question in questions
        for one in measured(job, asked)
        for by in steps
    ]


def _name(one: Measure, by: int) -> str:
    return f"{one.surface} {one.what} {by}"


def _edits(one: Measure, by: int) -> list[Edit]:
    return [Edit(pointer, Ticks(value + by)) for pointer, value in one.places]


def outlines(job: Job, asked: Any) -> Iterator[Measure]:
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
        length = length_in(value, job.unit)
        yield Measure(name, what, ((f"{at}/{k}", length),), length)


def _corners(job: Job, sent: list[Any], name: str, at: str) -> Iterator[Measure]:
    """Stations of corners from the lowest one: those on one line are one measure."""
    for one in _lines(job, sent, name, at, ("x", "y")):
        yield from one[1:]


def _lines(
    job: Job, sent: list[Any], name: str, at: str, names: tuple[str, str]
) -> Iterator[list[Measure]]:
    """The lines on which corners lie, along x and along y, from the lowest on."""
    for axis, what in enumerate(names):
        lines: dict[int, list[tuple[str, int]]] = {}
        for k, corner in enumerate(sent):
            place = length_in(corner[axis], job.unit)
            lines.setdefault(place, []).append((f"{at}/{k}/{axis}", place))
        yield [Measure(name, what, tuple(lines[place]), place) for place in sorted(lines)]


def openings(job: Job, asked: Any) -> Iterator[Measure]:
    """Where each opening lies, and how large it is."""
    for k, one in enumerate(asked["surfaces"]):
        for n, hole in enumerate(one.get("openings") or ()):
            at, of = f"/surfaces/{k}/openings/{n}", f"of {hole['id']}"
            for way, names in _SIZES.items():
                if hole.get(way) is not None:
                    told = tuple(f"{what} {of}" for what in names)
                    yield from _listed(job, hole[way], one["id"], f"{at}/{way}", told)
            if hole.get("outline") is not None:
                told = (f"x {of}", f"y {of}")
                for found in _lines(job, hole["outline"], one["id"], f"{at}/outline", told):
                    yield from found


_SIZES: Final = {
    "rectangle": ("left", "bottom", "width", "height"),
    "circle": ("middle across", "middle up", "diameter"),
}


def members(job: Job, asked: Any) -> Iterator[Measure]:
    """From where the members were marked: all of them are off together, as a tape slips."""
    for k, one in enumerate(asked["surfaces"]):
        sent, at = one.get("supports"), f"/surfaces/{k}/supports"
        if sent is None:
            continue
        if sent.get("at") is not None:
            marks = [length_in(value, job.unit) for value in sent["at"]]
            places = tuple((f"{at}/at/{n}", mark) for n, mark in enumerate(marks))
            yield Measure(one["id"], "marks of members", places, marks[0])
        else:
            first = sent["spacing"] if sent.get("first") is None else sent["first"]
            mark = length_in(first, job.unit)
            yield Measure(one["id"], "first member", ((f"{at}/first", mark),), mark)


MEASURED: Final[Mapping[str, Callable[[Job, Any], Iterator[Measure]]]] = {
    "remeasure": outlines,
    "remeasure_openings": openings,
    "remeasure_members": members,
}
"""What each question has measured again."""
