"""Openings as they are answered: what is cut for each of them in a layer, and in which courses."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from service.geometry.frame import Frame
from service.geometry.plane import intersection
from service.geometry.rings import Polygon, Region, Ring
from service.geometry.surface import Surface
from service.layout.runs import Course, parts_met
from service.products.laid_rows import OpeningRow
from service.products.layer import AnyTask

Cut = tuple[tuple[str, ...], Region]
"""The openings of one hole, by id, and its shape as cut, in stations."""


PartsMet = Callable[[tuple[Course, ...], Region], Iterable[tuple[Course, Polygon]]]
"""The parts of a hole in each course that it meets."""


def opening_rows(
    task: AnyTask,
    frame: Frame,
    cuts: Sequence[Cut],
    covered: Region,
    courses: tuple[Course, ...],
    met: PartsMet = parts_met,
) -> tuple[OpeningRow, ...]:
    """A row for each opening, in the order of `cuts`.

    `covered` is what the layer would cover without openings, in stations: an opening that lies
    wholly outside it, as in a gap at a wall, cuts no course (5.1). `met` says which courses a shape
    meets, where that is known already.
    """
    parts = frame.region(task.surface.parts) if cuts else ()
    return tuple(
        row
        for names, shape in cuts
        for row in _rows_of(
            task,
            names,
            [frame.ring_back(ring) for ring in _rings(intersection(shape, parts))],
            _numbers_met(intersection(shape, covered), courses, met),
        )
    )


def _rows_of(
    task: AnyTask, names: Sequence[str], cut: Sequence[Ring], courses: tuple[int, ...]
) -> Iterator[OpeningRow]:
    """A row for each opening of one hole."""
    for name in names:
        yield OpeningRow(
            surface=task.surface.id,
            layer=task.layer_id,
            opening=name,
            drawn=_drawn(task.surface, name),
            cut=tuple(cut),
            merged_with=tuple(other for other in names if other != name),
            courses=courses,
        )


def _numbers_met(shape: Region, courses: tuple[Course, ...], met: PartsMet) -> tuple[int, ...]:
    """Numbers of the courses that a hole takes more than 1/64 in of (5.2)."""
    return tuple(sorted({course.number for course, _ in met(courses, shape)})) if shape else ()


def _drawn(surface: Surface, name: str) -> tuple[Ring, ...]:
    """The rings of an opening as drawn, as far as it lies in the surface's parts.

    An id that stands twice is refused when all else is known: until then the first is taken.
    """
    own = next(one for one in surface.openings if one.id == name)
    if not own.crosses_edge:
        return _rings(own.drawn)
    return _rings(intersection(own.drawn, surface.parts))


def _rings(region: Region) -> tuple[Ring, ...]:
    return tuple(ring for polygon in region for ring in polygon.rings)
