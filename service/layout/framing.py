"""Members as the framer sees them: bays between them, and lines that must stand in those."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, degrees, hypot

from service.geometry.frame import Frame, frame_of
from service.geometry.rings import Point, Region, reaches
from service.geometry.surface import Member, Surface
from service.layout.bearings import bearings_of
from service.units.ticks import INCH, SIXTY_FOURTH, whole

Span = tuple[int, int]
"""From where to where across the members, or along them (ticks)."""

LEAST_BAY = 3 * INCH // 2
"""A gap no wider than this beside a member holds no block: the member is near enough (15.3)."""


@dataclass(frozen=True, slots=True)
class Framing:
    """Members in a frame of their own: u is square to them, v runs along them.

    `outline` is that of the surface's parts, `faces` are the two sides of each member by
    ascending u.
    """

    frame: Frame
    outline: Region
    faces: tuple[Span, ...]

    def bays_over(self, span: Span, at: int) -> tuple[Span, ...]:
        """The clear bays in which a line square to the members at v lies within a span (15.1).

        From the face of one member to that of the next, or to the wall where that comes first; a
        bay that the span only grazes is left.
        """
        low, high = span[0] + SIXTY_FOURTH, span[1] - SIXTY_FOURTH
        return tuple(
            bay
            for inside in self.across(self.outline, at)
            for bay in self.clear(inside)
            if bay[0] < high and bay[1] > low
        )

    def clear(self, span: Span, least: float = LEAST_BAY) -> Iterator[Span]:
        """What members leave of a span square to them, where that is wider than the least."""
        here = span[0]
        for low, high in (*self.faces, (span[1], span[1])):
            end = min(low, span[1])
            if end - here > least:
                yield here, end
            here = max(here, high)

    def parted(self, start: Point, end: Point) -> Iterator[Span]:
        """From where to where along a line (x, y) it passes clear bays, in ticks from `start`."""
        (u, v), (w, x) = self.frame.to(start), self.frame.to(end)
        size = hypot(w - u, x - v)
        if abs(w - u) <= SIXTY_FOURTH:
            yield 0, whole(size)
            return
        steep = size / abs(w - u)
        for low, high in self.clear((min(u, w), max(u, w)), LEAST_BAY / steep):
            near, far = sorted((abs(low - u) * steep, abs(high - u) * steep))
            yield whole(near), whole(far)

    def between(self, span: Span, at: int) -> Span:
        """From the last member before a span to the first behind it, face to face, at v (5.7).

        Where there is none, the wall ends the line; `span` lies between walls.
        """
        inside = [one for one in self.across(self.outline, at) if bays_meet(one, span)]
        low, high = (inside[0][0], inside[-1][1]) if inside else span
        before = [b for _, b in self.faces if low <= b <= span[0] + SIXTY_FOURTH]
        behind = [a for a, _ in self.faces if high >= a >= span[1] - SIXTY_FOURTH]
        return max(before, default=min(low, span[0])), min(behind, default=max(high, span[1]))

    def away(self, at: int, side: int) -> int | None:
        """How far the nearest member's face lies from `at`, on the low (-1) or high (1) side.

        0 where one stands across it; None where there is none on that side.
        """
        found = [
            max(0, at - high if side < 0 else low - at)
            for low, high in self.faces
            if (low < at - SIXTY_FOURTH if side < 0 else high > at + SIXTY_FOURTH)
        ]
        return min(found, default=None)

    def crossed_by(self, span: Span) -> bool:
        """Whether any member stands in a span by more than 1/64 in, and so is cut (5.7)."""
        return any(
            low < span[1] - SIXTY_FOURTH and high > span[0] + SIXTY_FOURTH
            for low, high in self.faces
        )

    def within(self, low: Point, high: Point) -> Iterator[tuple[Point, Point]]:
        """What of a line along the members, or square to them, lies in the outline.

        A part that a wall leaves of it and that is as short as a gap without a block is none.
        """
        axis = 0 if low[0] == high[0] else 1
        first, last = low[1 - axis], high[1 - axis]
        for polygon in self.outline:
            for a, b in reaches(polygon, low[axis], axis):
                near, far = max(a, first), min(b, last)
                if far - near > min(LEAST_BAY, last - first - 1):
                    ends = [(low[0], at) if axis == 0 else (at, low[1]) for at in (near, far)]
                    yield ends[0], ends[1]

    def across(self, region: Region, at: int) -> tuple[Span, ...]:
        """From where to where the line square to the members at v lies in a region."""
        return tuple(span for polygon in region for span in reaches(polygon, at, 1))

    def line(self, low: Point, high: Point) -> tuple[Point, Point]:
        """A line of (u, v) in the surface's coordinates, the lesser end first."""
        ends = sorted((self.frame.back(low), self.frame.back(high)))
        return ends[0], ends[1]


def bays_meet(one: Span, other: Span) -> bool:
    """Whether two spans share more than a 64th of an inch."""
    return min(one[1], other[1]) - max(one[0], other[0]) > SIXTY_FOURTH


def framing_of(surface: Surface, members: Sequence[Member]) -> Framing | None:
    """The members of a surface, which are all parallel; None where there are none."""
    if not members:
        return None
    one = members[0]
    frame = frame_of(surface.outline, Fraction(round(degrees(atan2(one.b, one.a)), 9)))
    region = frame.region(surface.parts)
    found = bearings_of(tuple(members), frame)
    return Framing(
        frame, region, tuple((one.base - one.half, one.base + one.half) for one in found)
    )


def clusters(places: Sequence[int], within: int) -> list[tuple[int, int]]:
    """Places taken together as long as all of a group lie `within` of each other: its two ends.

    As few groups as can be, from whichever side they are counted.
    """
    ordered = sorted(places)
    found = []
    k = 0
    while k < len(ordered):
        last = bisect_right(ordered, ordered[k] + within)
        found.append((ordered[k], ordered[last - 1]))
        k = last
    return found
