"""Runs: the connected parts of each course, and how openings cut, notch or pierce them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from service.geometry.plane import clip_to_boxes, without_needles
from service.geometry.rings import Polygon, Region, bounds
from service.geometry.strips import in_strips, refined
from service.layout.courses import Rip, Scheme
from service.units.ticks import SIXTY_FOURTH

NOTHING = SIXTY_FOURTH + 4
"""Width (ticks) up to which a leg, or what a hole takes of a course, counts as nothing (5.2).

1/64 in, and what snapping moves when a plan is turned: the corners as sent and as stations, half
a tick each, on both sides of the leg.
"""


@dataclass(frozen=True, slots=True)
class Course:
    """One course in the frame: `low` and `high` edge stations, number in laying order.

    `starts_low` says that the edge nearer to the start is the low one.
    """

    number: int
    low: int
    high: int
    rip: Rip
    starts_low: bool

    @property
    def face(self) -> int:
        """Width that shows."""
        return self.high - self.low

    @property
    def middle(self) -> int:
        """Station of the centre line."""
        return (self.low + self.high) // 2


@dataclass(frozen=True, slots=True)
class Cutout:
    """What one opening does to one course, between stations `low` and `high`.

    `legs` are what is left of the course's face below and above the hole.
    """

    opening: str
    course: int
    effect: Literal["cut_in_two", "notch", "hole"]
    low: int
    high: int
    legs: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Run:
    """One connected part of a course: its shape in the frame, long point to long point."""

    course: int
    number: int
    polygon: Polygon
    cutouts: tuple[Cutout, ...]

    @property
    def low(self) -> int:
        """Station of the low end."""
        return self.polygon.box[0]

    @property
    def high(self) -> int:
        """Station of the high end."""
        return self.polygon.box[1]


@dataclass(frozen=True, slots=True)
class Laid:
    """Courses and runs over a region, with what the cuts moved.

    `snap` is twice the area by which snapping the cuts changed the region (signed). `dropped`
    are parts too short to board, left to the trim, and what snapping left of a course;
    `open_joints` is twice the area of spacers.
    """

    courses: tuple[Course, ...]
    runs: tuple[Run, ...]
    cutouts: tuple[Cutout, ...]
    snap: int
    dropped: tuple[Polygon, ...]
    open_joints: int


def placed_courses(scheme: Scheme, region: Region, starts_low: bool) -> tuple[Course, ...]:
    """The scheme's courses in the frame of `region`, from its low or its high edge."""
    _, _, low, high = bounds(region)
    if starts_low:
        return tuple(
            Course(k + 1, low + strip.near, low + strip.far, strip.rip, True)
            for k, strip in enumerate(scheme.strips)
        )
    return tuple(
        Course(k + 1, high - strip.far, high - strip.near, strip.rip, False)
        for k, strip in enumerate(scheme.strips)
    )


def lay_runs(
    region: Region,
    courses: tuple[Course, ...],
    openings: Sequence[tuple[str, Region]],
    min_run: int,
) -> Laid:
    """Clip `region` into the runs of `courses`; `openings` are the holes as cut, by id."""
    lines = sorted({edge for course in courses for edge in (course.low, course.high)})
    cut = refined(region, lines, axis=1)
    strips = [(course.low, course.high) for course in courses]
    cutouts = _cutouts(courses, openings)
    runs: list[Run] = []
    dropped: list[Polygon] = []
    for course, parts in zip(courses, in_strips(cut, strips), strict=True):
        kept = [part for part in without_needles(parts) if part.box[1] - part.box[0] >= min_run]
        dropped += [part for part in parts if part not in kept]
        beside = [one for one in cutouts if one.course == course.number]
        for k, part in enumerate(sorted(kept, key=lambda part: part.box)):
            runs.append(Run(course.number, k + 1, part, _meeting(beside, part)))
    return Laid(
        courses,
        tuple(runs),
        tuple(cutouts),
        sum(polygon.twice_area for polygon in cut) - sum(p.twice_area for p in region),
        tuple(dropped),
        _between(cut, strips),
    )


def _between(region: Region, strips: list[tuple[int, int]]) -> int:
    """Twice the area of the region that lies between courses, or before or beyond them all."""
    _, _, low, high = bounds(region)
    ordered = sorted(strips)
    starts = [low, *(strip[1] for strip in ordered)]
    ends = [*(strip[0] for strip in ordered), high]
    gaps = [(a, b) for a, b in zip(starts, ends, strict=True) if a < b]
    return sum(part.twice_area for parts in in_strips(region, gaps) for part in parts)


def _meeting(cutouts: list[Cutout], part: Polygon) -> tuple[Cutout, ...]:
    """The notches and holes of a course that lie in one of its runs."""
    low, high, _, _ = part.box
    return tuple(
        one for one in cutouts if one.effect != "cut_in_two" and one.low < high and one.high > low
    )


def _cutouts(courses: tuple[Course, ...], openings: Sequence[tuple[str, Region]]) -> list[Cutout]:
    """What each connected part of each opening does to each course it meets (5.2)."""
    return [
        _cutout(name, course, part)
        for name, hole in openings
        for course, part in parts_met(courses, hole)
    ]


def parts_met(courses: Sequence[Course], hole: Region) -> Iterator[tuple[Course, Polygon]]:
    """Each connected part of a hole in each course that it meets by more than 1/64 in (5.2)."""
    low, high, near, far = bounds(hole)
    met = [c for c in courses if c.low < far - NOTHING and c.high > near + NOTHING]
    boxes = [(low, high, course.low, course.high) for course in met]
    for course, parts in zip(met, clip_to_boxes(hole, boxes), strict=True):
        yield from ((course, part) for part in parts if part.box[3] - part.box[2] > NOTHING)


def _cutout(name: str, course: Course, part: Polygon) -> Cutout:
    low, high, near, far = part.box
    legs = (_leg(near - course.low), _leg(course.high - far))
    effect: Literal["cut_in_two", "notch", "hole"] = "notch"
    if not any(legs):
        effect = "cut_in_two"
    elif all(legs):
        effect = "hole"
    return Cutout(name, course.number, effect, low, high, legs)


def _leg(width: int) -> int:
    return 0 if width <= NOTHING else width
