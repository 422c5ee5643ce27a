"""How parts end at walls that are not square to their beam: across the face, or through it (16.3).

A bottom and a core lie flat against the wall and are cut at its angle; a side stands, and is cut at
that angle through its thickness.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, radians, tan
from typing import Final, TypeAlias

from service.geometry.plane import clip_to_boxes
from service.geometry.rings import Polygon, corners_between
from service.geometry.strips import refined
from service.products.kinds.box_beams.records import EndLine, Segment, square_line
from service.units.ticks import INCH, whole

SCRIBED: Final = INCH // 8
"""What a wall is off a beam's face, or its end off square, is scribed (common practice)."""

Lines: TypeAlias = tuple[EndLine, EndLine]


@dataclass(frozen=True, slots=True)
class Reach:
    """From where to where a strip of a segment lies, at its furthest points, and how it ends."""

    low: int
    high: int
    lines: Lines


def reach_of(segment: Segment, near: int, far: int) -> Reach:
    """How far a segment reaches within a strip of it, and the lines of its ends at walls.

    Along a slanted wall a side, the bottom and the core each reach as far as they lie.
    """
    shape, square = segment.shape, square_line(near, far)
    if shape.is_box:
        return Reach(segment.low, segment.high, (square, square))
    low, high, *_ = shape.box
    (found,) = clip_to_boxes(refined((shape,), [near, far], axis=1), [(low, high, near, far)])
    own = found or (shape,)
    low, high = min(one.box[0] for one in own), max(one.box[1] for one in own)
    lines = _lines(segment, found[0]) if len(found) == 1 else (square, square)
    return Reach(low, high, _apart(lines, high - low))


def _lines(segment: Segment, lies: Polygon) -> Lines:
    """The end lines of what lies in a segment: those of its own walls."""
    low, high, near, far = lies.box
    ring, square = lies.outer, square_line(near, far)
    below, above = ([at for at in ring if at[1] == v] for v in (near, far))
    first = corners_between(ring, min(above), min(below))[::-1]
    last = corners_between(ring, max(below), max(above))
    low_line = tuple((u - low, v) for u, v in first)
    high_line = tuple((high - u, v) for u, v in last)
    return (
        low_line if _is_cut(segment, low_line, 0) else square,
        high_line if _is_cut(segment, high_line, 1) else square,
    )


def _is_cut(segment: Segment, line: EndLine, end: int) -> bool:
    """Whether an end is cut along its wall: one that is more than scribed, and that is an end.

    A wall that runs into the beam for longer than that is wide is told (`wall-in-beam`).
    """
    deepest, wide = max(deep for deep, _ in line), segment.line.width
    across = line[-1][1] - line[0][1]
    return segment.meets[end] == "wall" and deepest <= wide and deepest * wide > SCRIBED * across


def _apart(lines: Lines, length: int) -> Lines:
    """The lines as they are where both edges are left between them; else both ends are square."""
    (first, last), squares = lines, tuple(square_line(one[0][1], one[-1][1]) for one in lines)
    if all(first[k][0] + last[k][0] < length - INCH // 16 for k in (0, -1)):
        return lines
    return squares[0], squares[1]


def tilt(line: EndLine, *, face_is_near: bool) -> float:
    """Degrees off square of a side's end through its thickness: above 0, long point at the face."""
    near, far = line[0], line[-1]
    deeper = far[0] - near[0] if face_is_near else near[0] - far[0]
    return round(degrees(atan2(deeper, far[1] - near[1])), 3)


def pointed_line(near: int, far: int) -> EndLine:
    """An end that runs to a point over the middle of a crossing (16.4)."""
    deep = (far - near) // 2
    return (deep, near), (0, (near + far) // 2), (deep, far)


def behind(line: EndLine) -> int:
    """How far an end lies behind its furthest point in the mean, at least: ticks."""
    twice = sum((a + b) * (far - near) for (a, near), (b, far) in pairwise(line))
    return twice // (2 * (line[-1][1] - line[0][1]))


def through(tilt: float, thick: int) -> int:
    """How far an end that is cut through a board reaches behind its long point, ticks."""
    return whole(thick * tan(radians(abs(tilt))))


def deepest(line: EndLine) -> int:
    """How far an end lies behind its furthest point at most."""
    return max(deep for deep, _ in line)
