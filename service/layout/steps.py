"""Steps of an outline that notch a course, as an opening does (1.1, 5.5)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import atan2, radians

from service.geometry.plane import clip_to_boxes, difference, without_needles
from service.geometry.rings import Point, Polygon, Region, bounds, rectangle
from service.layout.runs import NOTHING, SNAPPED, Course, Cutout, cutout_of, parts_met

CORNER = radians(15)
"""Turn from which two walls meet in a corner; less is a bend of one (17.6)."""


def beside(region: Region) -> Region:
    """What a region leaves of the rectangle around it, part by part."""
    low, high, near, far = bounds(region)
    around = (Polygon(rectangle(low, near, high, far)),)
    return difference(around, region)


def steps_met(
    courses: Sequence[Course], part: Region, outline: Region
) -> Iterator[tuple[Course, Polygon]]:
    """Where a part beside an outline steps into a course: an inner corner lies within its face.

    A wall that only slants through a course makes no step: its board is mitred. What lies beyond
    the end of a run is none of its notches, and what goes no deeper than 1/64 in is nothing (5.2).
    """
    low, high, _, _ = bounds(outline)
    for course, met in parts_met(courses, part):
        near, far = course.low + SNAPPED, course.high - SNAPPED
        corners = [u for u, v in _corners(met) if near < v < far]
        (runs,) = clip_to_boxes(outline, [(low, high, near, far)]) if corners else ((),)
        for run in without_needles(runs):
            span = (run.box[0] + SNAPPED, run.box[1] - SNAPPED)
            inner = [u for u in corners if span[0] < u < span[1]]
            yield from ((course, one) for one in _steps_in(met, course, span, inner))


def _steps_in(
    met: Polygon, course: Course, span: tuple[int, int], corners: Sequence[int]
) -> Iterator[Polygon]:
    """Of what a course has beside it, the parts in a run's `span` that have an inner corner."""
    (deep,) = clip_to_boxes((met,), [(*span, course.low + NOTHING, course.high - NOTHING)])
    for low, high, _, _ in (one.box for one in without_needles(deep)):
        if any(low - SNAPPED <= u <= high + SNAPPED for u in corners):
            (whole,) = clip_to_boxes((met,), [(low, high, course.low, course.high)])
            yield from (one for one in whole if one.box[3] - one.box[2] > NOTHING)


def _corners(part: Polygon) -> list[Point]:
    """Corners of a part that point into the boards; those within 1/64 in are one (5.2)."""
    ring: list[Point] = []
    for at in part.outer:
        if not ring or _apart(ring[-1], at):
            ring.append(at)
    if len(ring) > 1 and not _apart(ring[-1], ring[0]):
        ring.pop()
    trios = zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True)
    return [at for before, at, after in trios if _turn(before, at, after) >= CORNER]


def _apart(one: Point, other: Point) -> bool:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1])) > NOTHING


def _turn(before: Point, at: Point, after: Point) -> float:
    """By how much a ring turns to the left at a corner, radians."""
    (ux, uy), (vx, vy) = (
        (at[0] - before[0], at[1] - before[1]),
        (after[0] - at[0], after[1] - at[1]),
    )
    return atan2(ux * vy - uy * vx, ux * vx + uy * vy)


def notches_of(name: str, met: Iterable[tuple[Course, Polygon]]) -> list[Cutout]:
    """The notches that a part beside an outline makes, by where it steps into courses.

    A course that ends there has none. Each is named for its course as well: the courses beside it
    keep their joints off it even where the same part, as a flight of steps, notches them too.
    """
    made = [cutout_of(f"{name} in course {course.number}", course, part) for course, part in met]
    return [replace(one, effect="notch") for one in made if any(one.legs)]
