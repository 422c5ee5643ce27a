"""Legs: what is left of a course's face beside a hole, and which of them cannot stay (5.2)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from service.geometry.plane import clip_to_boxes, difference, has_corner_beyond, union
from service.geometry.rings import Polygon, Region, bounds, rectangle, within
from service.geometry.strips import span_beyond
from service.layout.runs import NOTHING, SNAPPED, Course, parts_met
from service.layout.steps import steps_met
from service.units.once import once

LeastLegs = Callable[[Course], tuple[int, int]]
"""The narrowest legs of a course, on its low and its high side (ticks)."""


Met = tuple[Course, Polygon]
"""A course, and a connected part of a hole in it."""


@dataclass(frozen=True)
class FramedHole:
    """A hole in stations: its shape as cut, and what flanges cover with the lap they need.

    They lap the boards by `spare` (ticks) further than they must.

    With an `outline` it is no hole but a part beside that, which may step into courses.
    """

    name: str
    cut: Region
    cover: Region = ()
    spare: int = 0
    outline: Region = ()

    @once
    def hidden(self) -> Region:
        """All that is cut or covered."""
        return union([self.cut, self.cover])

    @once
    def _parts(self) -> list[tuple[tuple[Course, ...], tuple[Met, ...]]]:
        """Courses, and what `parts` has given for them, for it is asked for more than once."""
        return []

    def parts(self, courses: tuple[Course, ...]) -> tuple[Met, ...]:
        """Each connected part of it that a course has beside it (5.2)."""
        known = next((met for own, met in self._parts if own == courses), None)
        if known is None:
            steps = self.outline
            found = steps_met(courses, self.cut, steps) if steps else parts_met(courses, self.cut)
            known = tuple(found)
            self._parts.append((courses, known))
        return known


@dataclass(frozen=True, slots=True)
class Leg:
    """A leg under the least: beside which hole and in which course, and how narrow (ticks).

    `box` is the strip along it, from the edge of the course into the hole, over the length on
    which it is too narrow. It is `cut_out` where the flange covers it all, or where it is no
    wider than 1/64 in, which counts as nothing whatever the least is (then over the length on
    which it is under 1/32).
    """

    opening: str
    course: int
    width: int
    least: int
    box: Polygon
    cut_out: bool
    at_step: bool = False


def narrow_legs(
    courses: tuple[Course, ...], holes: Sequence[FramedHole], least: LeastLegs
) -> Iterator[Leg]:
    """Every leg under `least` beside `holes`, hole by hole; looked for one after another."""
    for hole in holes:
        for course, part in hole.parts(courses):
            yield from _legs(hole, course, part, least(course))


def _legs(hole: FramedHole, course: Course, part: Polygon, least: tuple[int, int]) -> Iterator[Leg]:
    _, _, near, far = part.box
    for width, limit, is_low in (
        (near - course.low, least[0], True),
        (course.high - far, least[1], False),
    ):
        thin = 0 < width <= NOTHING
        if thin or NOTHING < width < limit:
            deep = 2 * NOTHING if thin else limit
            band = (course.low, min(course.low + deep, far))
            if not is_low:
                band = (max(course.high - deep, near), course.high)
            box = _over(part, band, is_low=is_low)
            gone = thin or _is_covered(hole, box)
            yield Leg(hole.name, course.number, width, limit, box, gone, bool(hole.outline))
        elif width <= NOTHING and not part.is_box:
            yield from _stepped(hole, course, part, limit, is_low)


def _is_covered(hole: FramedHole, box: Polygon) -> bool:
    if not within(box.box, bounds((*hole.cut, *hole.cover))):
        return False
    return not (has_corner_beyond(box, hole.hidden) or difference((box,), hole.hidden))


def _stepped(
    hole: FramedHole, course: Course, part: Polygon, limit: int, is_low: bool
) -> Iterator[Leg]:
    """Legs beside a part that reaches the edge of its course elsewhere, as one with steps does.

    One that runs out to nothing, as beside a curve or a slant, is a point of the board and no leg.
    It hangs on at one end only and is not cut out; one that the flange covers is left as it is.
    """
    edge = course.low if is_low else course.high
    near, gone = _within(part, edge, (limit, 2 * NOTHING), is_low)
    for low, high in _spans_less(near, gone):
        (found,) = clip_to_boxes((part,), [(low, high, course.low, course.high)])
        _, _, lowest, highest = bounds(found)
        width = lowest - edge if is_low else edge - highest
        if 3 * NOTHING < width < limit:
            band = (edge, lowest) if is_low else (highest, edge)
            box = Polygon(rectangle(low, band[0], high, band[1]))
            if not _is_covered(hole, box):
                yield Leg(hole.name, course.number, width, limit, box, False, bool(hole.outline))


def _within(
    part: Polygon, edge: int, depths: Sequence[int], is_low: bool
) -> list[list[tuple[int, int]]]:
    """From where to where along a course a part comes as near to its edge as each of the depths.

    The part comes nearer to the edge than any of them.
    """
    if part.is_convex:
        lines = [edge + deep if is_low else edge - deep for deep in depths]
        return [[span_beyond(part, line, below=is_low)] for line in lines]
    low, high, _, _ = part.box
    bands = [(edge, edge + deep) if is_low else (edge - deep, edge) for deep in depths]
    found = clip_to_boxes((part,), [(low, high, *band) for band in bands])
    return [sorted(one.box[:2] for one in near) for near in found]


def _spans_less(
    spans: Sequence[tuple[int, int]], gone: Sequence[tuple[int, int]]
) -> Iterator[tuple[int, int]]:
    """What of spans is in none of those that are gone, where it is longer than nothing (5.2)."""
    for low, high in spans:
        here = low
        for a, b in (*gone, (high, high)):
            if min(a, high) - here > NOTHING:
                yield here + SNAPPED, min(a, high) - SNAPPED
            here = max(here, b)


def _over(part: Polygon, band: tuple[int, int], *, is_low: bool) -> Polygon:
    """The strip along a leg, as long as the hole is within it; beside the low or the high side."""
    if part.is_convex:
        low, high = span_beyond(part, band[1] if is_low else band[0], below=is_low)
    else:
        low, high, _, _ = bounds(clip_to_boxes((part,), [(*part.box[:2], *band)])[0])
    return Polygon(rectangle(low, band[0], high, band[1]))


def cut_out(
    region: Region, holes: Sequence[FramedHole], legs: Sequence[Leg]
) -> tuple[Region, list[FramedHole]]:
    """`region` without the legs that are cut out, and `holes` with them."""
    gone = [leg for leg in legs if leg.cut_out]
    if not gone:
        return region, list(holes)
    grown = []
    for hole in holes:
        own = union((leg.box,) for leg in gone if leg.opening == hole.name)
        cut, outline = union([hole.cut, own]), difference(hole.outline, own)
        grown.append(replace(hole, cut=cut, outline=outline) if own else hole)
    return difference(region, union((leg.box,) for leg in gone)), grown
