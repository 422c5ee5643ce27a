"""Courses that taper: how wide they are at both ends, and where their snapped edge lies (3.8).

A wall out of parallel leaves a course beside it no single width. What is needed there is a width at
each end of the run, and how far from the rough wall the line is snapped at each end.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from service.geometry.ends import NEARLY_ALONG
from service.geometry.rings import Point, Region, Ring
from service.layout.runs import NOTHING, Course, Laid, Run
from service.units.ticks import whole

Edge = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Taper:
    """A course at the low and at the high end of its length, ticks.

    `widths` are its own, `from_wall` how far from the rough wall, square to the boards, its other
    edge lies: that which is snapped. `at_start`: the wall lies on the side where work starts.
    """

    widths: tuple[int, int]
    from_wall: tuple[int, int]
    at_start: bool


def tapers_of(walls: Region, laid: Laid) -> dict[int, Taper]:
    """The taper of each course that has one, by its number.

    `walls` is what there is to be laid on, in stations, up to its rough walls.
    """
    found: dict[int, Taper] = {}
    shaped: dict[int, list[Run]] = defaultdict(list)
    for run in laid.runs:
        if not run.polygon.is_box:
            shaped[run.course].append(run)
    for course in laid.courses if shaped else ():
        runs = shaped[course.number]
        for at_low in (course.starts_low, not course.starts_low):
            taper = _taper(walls, course, runs, at_low)
            if taper is not None:
                found.setdefault(course.number, taper)
    return found


def _taper(region: Region, course: Course, runs: Sequence[Run], at_low: bool) -> Taper | None:
    """The taper of a course beside a wall on its low or its high side; None where it has none.

    `runs` are those of it that are no rectangles.
    """
    slanted = [
        (run, edge)
        for run in runs
        for edge in _along(run.polygon.outer, at_low)
        if abs(edge[0][1] - edge[1][1]) > NOTHING
    ]
    if not slanted:
        return None
    walls = [edge for part in region for ring in part.rings for edge in _along(ring, at_low)]
    if not walls:
        return None
    (low, first), (high, last) = (
        min(slanted, key=lambda one: one[0].low),
        max(slanted, key=lambda one: one[0].high),
    )
    snapped = course.high if at_low else course.low
    ends = ((low.low, first), (high.high, last))
    return Taper(
        _pair(min(course.face, max(0, _from(snapped, _at(edge, u), at_low))) for u, edge in ends),
        _pair(_from(snapped, _wall(walls, u, edge), at_low) for u, edge in ends),
        at_low == course.starts_low,
    )


def _pair(both: Iterator[int]) -> tuple[int, int]:
    low, high = both
    return low, high


def _from(snapped: int, wall: int, at_low: bool) -> int:
    """From a wall on the low or the high side to the edge that is snapped."""
    return snapped - wall if at_low else wall - snapped


def _along(ring: Ring, at_low: bool) -> Iterator[Edge]:
    """Edges that run with the boards and have the region on their high side, or on their low."""
    for a, b in pairwise([*ring, ring[0]]):
        nearly = abs(b[1] - a[1]) < NEARLY_ALONG * abs(b[0] - a[0])
        if nearly and (b[0] > a[0]) == at_low:
            yield a, b


def _at(edge: Edge, u: int) -> int:
    """The station across at which the line of an edge passes a station along."""
    (au, av), (bu, bv) = edge
    return whole(av + Fraction((bv - av) * (u - au), bu - au))


def _wall(walls: Sequence[Edge], u: int, edge: Edge) -> int:
    """Where the rough wall beside an edge lies at a station: the nearest that reaches there."""
    there = [wall for wall in walls if min(wall)[0] <= u <= max(wall)[0]] or walls
    inner = _at(edge, u)
    return min((_at(wall, u) for wall in there), key=lambda v: abs(v - inner))
