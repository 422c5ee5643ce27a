"""How the end of a piece is cut: its long point, its short point, and how far off square it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, degrees, hypot

from service.geometry.rings import Point, Region, Ring

NEARLY_ALONG = 0.05
"""Slope (across to along) below which an edge counts as running with the boards."""

_NEAR = 4
"""Ticks that snapping may have moved a corner (`layout.runs.SNAPPED`)."""


@dataclass(frozen=True, slots=True)
class End:
    """One end of a piece, in stations along it (ticks).

    `long` is the outermost point of the cut, `short` the innermost. `angle` is in degrees off
    square, under 90 either way: above 0 where the long point is on the side of higher stations
    across; None where the cut is not straight.
    """

    long: int
    short: int
    angle: float | None


def square_ends(low: int, high: int) -> tuple[End, End]:
    """Two ends cut square, at stations `low` and `high`."""
    return End(low, low, 0.0), End(high, high, 0.0)


def from_start(ends: tuple[End, End], *, starts_low: bool) -> tuple[End, End]:
    """Ends with their angles above 0 where the long point is on the far edge of the course."""
    if starts_low:
        return ends
    first, last = (End(one.long, one.short, _negative(one.angle)) for one in ends)
    return first, last


def _negative(angle: float | None) -> float | None:
    return None if angle is None else 0.0 - angle


def ends_of(region: Region) -> tuple[End, End]:
    """The low and the high end of a piece of the shape `region`, along the first coordinate.

    Beside a notch the cut is what is left of the width: edges that run along the piece bound it.
    """
    if len(region) == 1 and region[0].is_box:
        low, high, _, _ = region[0].box
        return square_ends(low, high)
    rings = [polygon.outer for polygon in region]
    mirrored = _low_end([tuple((-u, v) for u, v in reversed(ring)) for ring in rings])
    return _low_end(rings), End(-mirrored.long, -mirrored.short, mirrored.angle)


def _low_end(rings: list[Ring]) -> End:
    """The low end: every cut that begins at the lowest station, taken together."""
    long = min(u for ring in rings for u, _ in ring)
    cuts = [cut for ring in rings for cut in _cuts(ring, long)]
    angles = {_angle(cut) for cut in cuts}
    short = max(u for cut in cuts for u, _ in cut)
    return End(long, short, angles.pop() if len(angles) == 1 else None)


def _cuts(ring: Ring, long: int) -> Iterator[Ring]:
    """Each cut of a ring that begins at station `long`: corner after corner, as the ring has it.

    A ring runs counter-clockwise: at its low end it leads from its far side to its near one.
    """
    count = len(ring)
    outermost = [abs(point[0] - long) <= _NEAR for point in ring]
    for k in range(count):
        if outermost[k] and not outermost[k - 1]:
            last = k
            while outermost[(last + 1) % count]:
                last += 1
            own = [ring[at % count] for at in range(k, last + 1)]
            yield (*reversed(_onward(ring, k, -1)), *own, *_onward(ring, last, 1))


def _onward(ring: Ring, start: int, step: int) -> list[Point]:
    """The corners of a cut from `start` on, one way round: to the side that lies that way.

    An edge that runs along the piece ends it before. Corners that snapping laid next to one
    another are one.
    """
    sides = [point[1] for point in ring]
    near, far = min(sides) + _NEAR, max(sides) - _NEAR
    found: list[Point] = []
    here = ring[start % len(ring)]
    if here[1] <= near if step > 0 else here[1] >= far:
        return found
    for k in range(1, len(ring)):
        ahead = ring[(start + k * step) % len(ring)]
        if _runs_along(here, ahead):
            break
        found.append(ahead)
        if not near < ahead[1] < far:
            break
        here = ahead
    return found


def _runs_along(start: Point, end: Point) -> bool:
    along, across = abs(end[0] - start[0]), abs(end[1] - start[1])
    return max(along, across) > _NEAR and across <= NEARLY_ALONG * along


def _angle(cut: Ring) -> float | None:
    """Degrees off square of a cut that is straight, to a thousandth; None for any other."""
    first, last = cut[-1], cut[0]
    along, across = last[0] - first[0], last[1] - first[1]
    if abs(along) <= _NEAR and all(abs(u - first[0]) <= _NEAR for u, _ in cut):
        return 0.0
    if not across or any(_off(point, first, last) > _NEAR for point in cut):
        return None
    return 0.0 - round(degrees(atan2(along, across)), 3)


def _off(point: Point, first: Point, last: Point) -> float:
    """How far a point lies off the line through two others, ticks."""
    along, across = last[0] - first[0], last[1] - first[1]
    twice = (point[0] - first[0]) * across - (point[1] - first[1]) * along
    return abs(twice) / hypot(along, across)
