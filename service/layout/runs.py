"""Runs: the connected parts of each course, and how openings cut, notch or pierce them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from service.geometry.plane import clip_to_boxes, intersection, union, without_needles
from service.geometry.rings import Polygon, Region, bounds, rectangle
from service.geometry.strips import in_strips, levelled, refined
from service.layout.courses import Rip, Scheme
from service.units.ticks import SIXTY_FOURTH

SNAPPED = 4
"""Ticks that snapping can move two corners apart when a plan is turned.

Half of one for each as it was sent, and as often as it is carried over into stations.
"""

NOTHING = SIXTY_FOURTH + SNAPPED
"""Width (ticks) up to which a leg, or what a hole takes of a course, counts as nothing (5.2)."""


@dataclass(frozen=True, slots=True)
class Course:
    """One course in the frame: `low` and `high` edge stations, number in laying order.

    `starts_low` says that the edge nearer to the start is the low one, `first` and `last` whether
    it is an outermost one of what is laid by itself: all, or a bay.
    """

    number: int
    low: int
    high: int
    rip: Rip
    starts_low: bool
    first: bool = False
    last: bool = False

    @property
    def face(self) -> int:
        """Width that shows."""
        return self.high - self.low

    @property
    def middle(self) -> int:
        """Station of the centre line."""
        return (self.low + self.high) // 2

    def from_start(self, low: int, high: int) -> tuple[int, int]:
        """Of two stations across, the one nearer to the start first."""
        return (low, high) if self.starts_low else (high, low)


@dataclass(frozen=True, slots=True)
class Cutout:
    """What one opening, or a step of the outline, does to a course from `low` to `high` (stations).

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

    def course(self, number: int) -> Course:
        """The course of that number."""
        return self.courses[number - self.courses[0].number]


def placed_courses(
    scheme: Scheme, region: Region, starts_low: bool, before: int = 0
) -> tuple[Course, ...]:
    """The scheme's courses in the frame of `region`, from its low or its high edge.

    They are numbered on from so many that lie in bays `before` it.
    """
    _, _, low, high = bounds(region)
    sides = [
        (low + strip.near, low + strip.far) if starts_low else (high - strip.far, high - strip.near)
        for strip in scheme.strips
    ]
    return tuple(
        Course(before + k + 1, *side, strip.rip, starts_low, k == 0, k == len(scheme.strips) - 1)
        for k, (side, strip) in enumerate(zip(sides, scheme.strips, strict=True))
    )


def together(parts: Sequence[Laid]) -> Laid:
    """What was laid part by part, as one."""
    if len(parts) == 1:
        return parts[0]
    return Laid(
        tuple(course for one in parts for course in one.courses),
        tuple(run for one in parts for run in one.runs),
        tuple(cutout for one in parts for cutout in one.cutouts),
        sum(one.snap for one in parts),
        tuple(polygon for one in parts for polygon in one.dropped),
        sum(one.open_joints for one in parts),
    )


def to_whole_courses(whole: Region, wider: Region, courses: tuple[Course, ...]) -> Region:
    """The region, and what a last course laid whole takes of the gap: at most 1/64 in (3.1).

    `wider` is the region with gaps narrower by as much.
    """
    _, _, near, far = bounds(whole)
    bottom, top = min(c.low for c in courses), max(c.high for c in courses)
    made = [whole]
    if 0 < top - far <= SIXTY_FOURTH:
        made += _taken(whole, wider, (2 * far - top, far), (far - SNAPPED, top))
    if 0 < near - bottom <= SIXTY_FOURTH:
        made += _taken(whole, wider, (near, 2 * near - bottom), (bottom, near + SNAPPED))
    return union(made) if len(made) > 1 else whole


def _taken(
    whole: Region, wider: Region, edge: tuple[int, int], band: tuple[int, int]
) -> list[Region]:
    """What lies in a `band` beside those parts of a region that reach to its `edge`.

    Across the boards only: along them a run ends at its own gap. The band begins within the
    region, for its edge may be a few ticks out of level.
    """
    low, high, _, _ = bounds(whole)
    (parts,) = clip_to_boxes(whole, [(low, high, *edge)])
    spans = [part.box[:2] for part in parts]
    return [intersection(wider, (Polygon(rectangle(a, band[0], b, band[1])),)) for a, b in spans]


def lay_runs(
    region: Region,
    courses: tuple[Course, ...],
    cutouts: Sequence[Cutout],
    min_run: int,
) -> Laid:
    """Clip `region` into the runs of `courses`; `cutouts` are what openings and steps do to them.

    Parts shorter than `min_run` are dropped.
    """
    lines = sorted({edge for course in courses for edge in (course.low, course.high)})
    cut = refined(levelled(region, lines, axis=1, within=SNAPPED), lines, axis=1)
    strips = [(course.low, course.high) for course in courses]
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


def parts_met(courses: Sequence[Course], hole: Region) -> Iterator[tuple[Course, Polygon]]:
    """Each connected part of a hole in each course that it meets by more than 1/64 in (5.2)."""
    low, high, near, far = bounds(hole)
    met = [c for c in courses if c.low < far - NOTHING and c.high > near + NOTHING]
    boxes = [(low, high, course.low, course.high) for course in met]
    for course, parts in zip(met, clip_to_boxes(hole, boxes), strict=True):
        yield from ((course, part) for part in parts if part.box[3] - part.box[2] > NOTHING)


def cutout_of(name: str, course: Course, part: Polygon) -> Cutout:
    """What one connected part of a hole does to a course."""
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
