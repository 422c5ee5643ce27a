"""A piece on the bench: the straight lines that its long edges are ripped to, and what they leave.

On the bench a piece lies along the first coordinate, from 0 at its left end; the second rises from
0 at the near edge of the board that it is cut of.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import radians, tan

from service.geometry.ends import NEARLY_ALONG
from service.geometry.plane import difference, union
from service.geometry.rings import Point, Polygon, Region, around, rectangle
from service.units.ticks import INCH, SIXTY_FOURTH, whole

CLOSE = SIXTY_FOURTH + 4
"""Ticks within which a line is another: what counts as nothing (5.2), and what snapping moves."""

Box = tuple[int, int, int, int]
"""Left and right, near and far."""


@dataclass(frozen=True, slots=True)
class SawLine:
    """A line along a piece, from its left end to its right one."""

    left: Point
    right: Point

    def at(self, along: int) -> int:
        """How far from the near edge of the board it lies at a place along the piece."""
        (x0, y0), (x1, y1) = self.left, self.right
        return y0 if y0 == y1 else whole(y0 + Fraction((y1 - y0) * (along - x0), x1 - x0))

    def over(self, low: int, high: int) -> SawLine:
        """The same line from one place to another."""
        return SawLine((low, self.at(low)), (high, self.at(high)))

    def continues(self, other: SawLine) -> bool:
        """Whether another is the same line further on."""
        return all(abs(self.at(x) - y) <= CLOSE for x, y in (other.left, other.right))


def edges_along(region: Region, *, far: bool, beside: Sequence[Box] = ()) -> list[SawLine]:
    """The straight parts of a piece's near or far edge, from left to right, without those in boxes.

    Parts of one line are one, whatever is cut out between them.
    """
    found: list[SawLine] = []
    for line in sorted(_edges(region, far), key=lambda one: one.left):
        if any(_within(line, box) for box in beside):
            continue
        if found and found[-1].continues(line):
            found[-1] = SawLine(found[-1].left, line.right)
        else:
            found.append(line)
    return found


def _edges(region: Region, far: bool) -> Iterator[SawLine]:
    """Edges that run with the piece; those of a ring, counter-clockwise, lead back on its far side.

    One under an inch is left out: it strays from its neighbours by less than 1/16 in.
    """
    for polygon in region:
        ring = polygon.outer
        for a, b in pairwise([*ring, ring[0]]):
            along, across = b[0] - a[0], abs(b[1] - a[1])
            if abs(along) >= INCH and (along < 0) == far and across < NEARLY_ALONG * abs(along):
                yield SawLine(min(a, b), max(a, b))


def _within(line: SawLine, box: Box) -> bool:
    low, high, near, far = box
    return all(
        low - CLOSE <= x <= high + CLOSE and near - CLOSE <= y <= far + CLOSE
        for x, y in (line.left, line.right)
    )


def ripped_off(line: SawLine, width: int, *, far: bool) -> Polygon:
    """What a rip takes of a board of a `width`, and as much beyond its edge."""
    (x0, y0), (x1, y1) = line.left, line.right
    out = 2 * width if far else -width
    return Polygon(((x0, y0), (x1, y1), (x1, out), (x0, out)))


def cut_off(at: int, long: int, degrees: float, width: int) -> Polygon:
    """What a straight cut takes at an end: beyond a line through the point (`at`, `long`).

    `degrees` are off square, above 0 where the line leads inward on the right of it: away from
    the near edge at a left end.
    """
    slope = tan(radians(degrees))
    near, far = -width, 2 * width
    out = at - whole(abs(slope) * 4 * width) if at == 0 else at + whole(abs(slope) * 4 * width)
    ends = [(at + whole(slope * (y - long)), y) for y in (near, far)]
    return Polygon(((out, near), *ends, (out, far)))


def is_left(region: Region, length: int, width: int, taken: Iterable[Polygon]) -> bool:
    """Whether a board less all that is `taken` is the `region`, but for what counts as nothing."""
    board = (Polygon(rectangle(0, 0, length, width)),)
    made = difference(board, union((one,) for one in taken))
    strays = (*difference(made, region), *difference(region, made))
    return all(one.twice_area <= CLOSE * around(one.outer) for one in strays)
