"""Board ends at a round or slanted hole that are cut square, for a ring covers the rest (5.3)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.geometry.plane import difference, intersection, union, without_slivers
from service.geometry.rings import Polygon, Region, rectangle
from service.layout.legs import FramedHole
from service.layout.runs import SNAPPED, Course, cutout_of


@dataclass(frozen=True, slots=True)
class SquareEnd:
    """An end in a course that a hole cuts in two: square at the wider chord of its edge.

    `box` is what is cut for it, from that chord as far as its curve or slant goes: `deep` ticks.
    """

    opening: str
    course: int
    deep: int
    box: Polygon


def square_ends(
    region: Region, courses: tuple[Course, ...], holes: Sequence[FramedHole]
) -> Iterator[SquareEnd]:
    """Every end of the courses of `region` at which a ring laps the board all the same (5.3).

    So it does where the edge goes no further along the board than the ring laps it beyond what it
    must.
    """
    for hole in (one for one in holes if one.cover and not one.outline):
        for course, part in hole.parts(courses):
            parted = cutout_of(hole.name, course, part).effect == "cut_in_two"
            if parted and not part.is_box:
                yield from _ends(region, hole, course, part)


def _ends(region: Region, hole: FramedHole, course: Course, part: Polygon) -> Iterator[SquareEnd]:
    low, high, _, _ = part.box
    whole = Polygon(rectangle(low, course.low, high, course.high))
    beside = without_slivers(difference((whole,), hole.cut), SNAPPED)
    for at_low in (True, False):
        own = [one for one in beside if (one.box[0] + one.box[1] < low + high) == at_low]
        deep = max((one.box[1] - low if at_low else high - one.box[0] for one in own), default=0)
        if not 0 < deep <= hole.spare or difference(tuple(own), hole.cover):
            continue
        ends = (low, low + deep) if at_low else (high - deep, high)
        box = Polygon(rectangle(ends[0], course.low, ends[1], course.high))
        if without_slivers(intersection(region, (box,)), SNAPPED):
            yield SquareEnd(hole.name, course.number, deep, box)


def cut_square(
    region: Region, holes: Sequence[FramedHole], ends: Sequence[SquareEnd]
) -> tuple[Region, list[FramedHole]]:
    """`region` with its ends cut square, and `holes` as they are cut then."""
    grown = []
    for hole in holes:
        own = [(one.box,) for one in ends if one.opening == hole.name]
        grown.append(replace(hole, cut=union([hole.cut, *own])) if own else hole)
    return difference(region, union((one.box,) for one in ends)) if ends else region, grown
