"""Steps of an outline that notch a course: an inner corner of the walls lies in its face (5.5)."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from tests.independent import unsawn
from tests.independent.asked import Layer, rows
from tests.independent.measure import INCH, slack, ticks

NOTHING = INCH // 64
CORNER = 15
"""Degrees from which a turn of the walls is a corner."""

Row = dict[str, Any]
Vector = tuple[float, float]


@dataclass(frozen=True)
class Step:
    """What a step takes of one run, between two stations; `leg` is what it leaves of the width."""

    run: str
    course: int
    low: float
    high: float
    leg: float
    ends: int
    """How many of its two ends lie within the run, not at the run's own end."""


def steps(layer: Layer, answer: Row) -> list[Step]:
    """Every notch that the outline makes, run by run; a wall through a course makes none."""
    inset = unsawn.room(layer, answer)
    inner = list(_inner_corners(inset))
    courses = {row["course"]: row for row in rows(answer, "courses", layer)}
    return [
        step
        for run in rows(answer, "runs", layer)
        for step in _of_run(layer, run, courses[run["course"]], inset, inner)
    ]


def walls(layer: Layer, row: Row) -> list[float]:
    """Stations of the upright walls, in by the gap, that stand in the course of a run."""
    give = 4 * slack(layer.unit)
    near, far = sorted(ticks(row[key], layer.unit) for key in ("near", "far"))
    inset = layer.frame.moved_all(layer.inset())
    rings = [part.exterior.coords for part in getattr(inset, "geoms", [inset])]
    return [
        a[0]
        for ring in rings
        for a, b in pairwise(ring)
        if abs(a[0] - b[0]) <= give
        and min(a[1], b[1]) < far - give
        and max(a[1], b[1]) > near + give
    ]


def _of_run(
    layer: Layer, run: Row, course: Row, inset: BaseGeometry, inner: list[Vector]
) -> Iterator[Step]:
    low, high = (ticks(run[key], layer.unit) for key in ("from", "to"))
    near, far = sorted(ticks(course[key], layer.unit) for key in ("near", "far"))
    give = 4 * slack(layer.unit)
    own = [
        (u, v) for u, v in inner
        if low + give < u < high - give and near + NOTHING + give < v < far - NOTHING - give
    ]  # fmt: skip
    if not own:
        return
    # What goes no deeper than 1/64 in into a course is nothing (5.2), beside a notch as well.
    gone = box(low + give, near + NOTHING + give, high - give, far - NOTHING - give).difference(
        inset
    )
    for part in getattr(gone, "geoms", [gone]):
        if any(part.distance(Point(corner)) <= give for corner in own):
            first, below, last, above = part.bounds
            leg = max(below - near, far - above)
            ends = (first > low + 2 * give) + (last < high - 2 * give)
            yield Step(run["id"], run["course"], first, last, leg, ends)


def _inner_corners(region: BaseGeometry) -> Iterator[Vector]:
    """Corners at which the walls turn back by more than a bend; each side over 1/64 in."""
    for polygon in getattr(region, "geoms", [region]):
        ring = list(orient(Polygon(polygon.exterior)).exterior.coords)[:-1]
        for before, at, after in zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True):
            into, out = _sub(at, before), _sub(after, at)
            turn = math.atan2(into[0] * out[1] - into[1] * out[0],
                              into[0] * out[0] + into[1] * out[1])  # fmt: skip
            if turn <= -math.radians(CORNER) and min(map(_size, (into, out))) > NOTHING + 4:
                yield at


def _sub(one: Vector, other: Vector) -> Vector:
    return one[0] - other[0], one[1] - other[1]


def _size(vector: Vector) -> float:
    return math.hypot(*vector)
