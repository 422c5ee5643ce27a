"""Members as the framer sees them: bays between them, and lines that must stand in those."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import atan2, degrees

from service.geometry.frame import Frame, frame_of
from service.geometry.rings import Point, Region, bounds, reaches
from service.geometry.surface import Member, Surface
from service.layout.bearings import bearings_of
from service.units.ticks import SIXTY_FOURTH

Span = tuple[int, int]
"""From where to where across the members, or along them (ticks)."""


@dataclass(frozen=True, slots=True)
class Framing:
    """Members in a frame of their own: u is square to them, v runs along them.

    `outline` is that of the surface's parts, `faces` are the two sides of each member by
    ascending u.
    """

    frame: Frame
    outline: Region
    faces: tuple[Span, ...]

    @property
    def bays(self) -> tuple[Span, ...]:
        """The clear bays: from the face of one member to that of the next (15.1)."""
        return tuple((a[1], b[0]) for a, b in pairwise(self.faces) if a[1] < b[0])

    def bays_over(self, span: Span) -> tuple[Span, ...]:
        """The bays that a line square to the members crosses; one that it only grazes is left."""
        low, high = span[0] + SIXTY_FOURTH, span[1] - SIXTY_FOURTH
        return tuple(bay for bay in self.bays if bay[0] < high and bay[1] > low)

    def between(self, span: Span) -> Span:
        """From the last member before a span to the first behind it, face to face (5.7).

        Where there is none, the surface ends the line.
        """
        low, high, _, _ = bounds(self.outline)
        before = [b for _, b in self.faces if b <= span[0] + SIXTY_FOURTH]
        behind = [a for a, _ in self.faces if a >= span[1] - SIXTY_FOURTH]
        return max(before, default=low), min(behind, default=high)

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

    def across(self, region: Region, at: int) -> tuple[Span, ...]:
        """From where to where the line square to the members at v lies in a region."""
        return tuple(span for polygon in region for span in reaches(polygon, at, 1))

    def line(self, low: Point, high: Point) -> tuple[Point, Point]:
        """A line of (u, v) in the surface's coordinates, the lesser end first."""
        ends = sorted((self.frame.back(low), self.frame.back(high)))
        return ends[0], ends[1]


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
