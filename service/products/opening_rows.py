"""Openings as they are answered: what is cut for each of them in a layer, and in which courses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.geometry.frame import Frame
from service.geometry.plane import intersection
from service.geometry.rings import Polygon, Region, Ring
from service.geometry.surface import Surface
from service.layout.runs import Course, parts_met
from service.products.kind import Task
from service.products.laid_rows import OpeningRow

Cut = tuple[tuple[str, ...], Region]
"""The openings of one hole, by id, and its shape as cut, in stations."""


def opening_rows(
    task: Task, frame: Frame, cuts: Sequence[Cut], covered: Region, courses: Sequence[Course]
) -> tuple[OpeningRow, ...]:
    """A row for each opening, in the order of `cuts`.

    `covered` is what the layer would cover without openings, in stations: an opening that lies
    wholly outside it, as in a gap at a wall, cuts no course (5.1).
    """
    return tuple(row for cut in cuts for row in _rows_of(task, frame, cut, covered, courses))


def _rows_of(
    task: Task, frame: Frame, cut: Cut, covered: Region, courses: Sequence[Course]
) -> Iterator[OpeningRow]:
    names, shape = cut
    surface = task.surface
    outline = (Polygon(surface.outline),)
    inside = intersection(shape, frame.region(outline))
    rings = tuple(frame.ring_back(ring) for polygon in inside for ring in polygon.rings)
    met = _numbers_met(intersection(shape, covered), courses)
    for name in names:
        yield OpeningRow(
            surface=surface.id,
            layer=task.layer_id,
            opening=name,
            drawn=_drawn(surface, name, outline),
            cut=rings,
            merged_with=tuple(other for other in names if other != name),
            courses=met,
        )


def _numbers_met(shape: Region, courses: Sequence[Course]) -> tuple[int, ...]:
    """Numbers of the courses that a hole takes more than 1/64 in of (5.2)."""
    met = parts_met(courses, shape) if shape else ()
    return tuple(sorted({course.number for course, _ in met}))


def _drawn(surface: Surface, name: str, outline: Region) -> tuple[Ring, ...]:
    """The rings of an opening as drawn, as far as it lies in the outline."""
    (own,) = (one for one in surface.openings if one.id == name)
    return tuple(ring for polygon in intersection(own.drawn, outline) for ring in polygon.rings)
