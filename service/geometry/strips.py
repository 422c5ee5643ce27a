"""Cutting a region into strips so that nothing is lost: the laws of conservation start here.

A slanted edge is first given a corner, snapped to a tick, wherever a cut will cross it. Every
later cut then runs through corners only and is exact, and what the snapping moved is measured
by itself: it is the ledger's account `snap`.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from service.geometry.plane import clip_to_boxes, sound
from service.geometry.rings import Point, Polygon, Region, Ring, bounds, box_polygon


def levelled(region: Region, cuts: Sequence[int], axis: int, within: int) -> Region:
    """`region` with each corner that lies `within` so many ticks of a line of `cuts` put on it.

    `cuts` are ascending values of coordinate `axis` (0 or 1), further apart than twice `within`.
    An edge that snapping laid a tick beyond a line, or let slant over it, would leave a needle.
    """
    if not any(_is_near(polygon, cuts, axis, within) for polygon in region):
        return region
    return sound(
        tuple(
            Polygon(
                _levelled_ring(polygon.outer, cuts, axis, within),
                tuple(_levelled_ring(hole, cuts, axis, within) for hole in polygon.holes),
            )
            for polygon in region
        )
    )


def _is_near(polygon: Polygon, cuts: Sequence[int], axis: int, within: int) -> bool:
    """Whether a corner lies so near to a line of `cuts`, but not on it."""
    if not cuts:
        return False
    lines, at = np.array(cuts), _coordinates(polygon, axis)
    after = np.searchsorted(lines, at)
    away = np.minimum(
        np.abs(at - lines[np.minimum(after, len(lines) - 1)]),
        np.abs(at - lines[np.maximum(after - 1, 0)]),
    )
    return bool(((away > 0) & (away <= within)).any())


def _coordinates(polygon: Polygon, axis: int) -> NDArray[np.int64]:
    """One coordinate of all corners, ring after ring."""
    return np.array([point[axis] for ring in polygon.rings for point in ring], dtype=np.int64)


def _levelled_ring(ring: Ring, cuts: Sequence[int], axis: int, within: int) -> Ring:
    points = []
    for point in ring:
        k = bisect_left(cuts, point[axis])
        near = min(cuts[max(0, k - 1) : k + 1], key=lambda cut: abs(cut - point[axis]))
        value = near if abs(near - point[axis]) <= within else point[axis]
        points.append((value, point[1]) if axis == 0 else (point[0], value))
    return tuple(points)


def refined(region: Region, cuts: Sequence[int], axis: int) -> Region:
    """`region` with a snapped corner wherever a slanted edge crosses a line of `cuts`.

    `cuts` are ascending values of coordinate `axis` (0 or 1), in ticks. In the point of a sharp
    corner the snapped edges may cross: it is cut off there, between two lines.
    """
    if not cuts:
        return region
    return sound(
        tuple(
            Polygon(
                _refined_ring(polygon.outer, cuts, axis),
                tuple(_refined_ring(hole, cuts, axis) for hole in polygon.holes),
            )
            for polygon in region
        )
    )


def _refined_ring(ring: Ring, cuts: Sequence[int], axis: int) -> Ring:
    points: list[Point] = []
    done = 0
    for k in _crossed(ring, cuts, axis):
        points += ring[done : k + 1]
        points += _crossings(ring[k], ring[(k + 1) % len(ring)], cuts, axis)
        done = k + 1
    return (*points, *ring[done:])


def _crossed(ring: Ring, cuts: Sequence[int], axis: int) -> list[int]:
    """The numbers of the edges that end on two sides of a line of `cuts`, or on one."""
    before = [bisect_left(cuts, point[axis]) for point in ring]
    if before.count(before[0]) == len(before):
        return []
    return [k for k, (a, b) in enumerate(pairwise((*before, before[0]))) if a != b]


def _crossings(start: Point, end: Point, cuts: Sequence[int], axis: int) -> list[Point]:
    """Snapped corners on one edge; an upright or level edge needs none."""
    other = 1 - axis
    if start[other] == end[other] or start[axis] == end[axis]:
        return []
    ordered = (start, end) if start[axis] < end[axis] else (end, start)
    low, high = ordered[0][axis], ordered[1][axis]
    inside = cuts[bisect_right(cuts, low) : bisect_left(cuts, high)]
    points = [_at(ordered[0], ordered[1], cut, axis) for cut in inside]
    return points if start[axis] < end[axis] else points[::-1]


def _at(low: Point, high: Point, cut: int, axis: int) -> Point:
    """The point of the edge at `cut`, its other coordinate to the nearest tick (half up)."""
    other = 1 - axis
    rise, run = high[other] - low[other], high[axis] - low[axis]
    value = low[other] + (2 * rise * (cut - low[axis]) + run) // (2 * run)
    return (cut, value) if axis == 0 else (value, cut)


def in_strips(region: Region, strips: Sequence[tuple[int, int]]) -> list[Region]:
    """For each strip (near, far) of the second coordinate, the parts of `region` in it.

    `region` must be `refined` at every edge of the strips.
    """
    low, high, _, _ = bounds(region)
    return clip_to_boxes(region, [(low, high, near, far) for near, far in strips])


def cut_across(polygon: Polygon, stations: Sequence[int]) -> list[Region]:
    """`polygon` cut square at ascending `stations` of the first coordinate.

    Gives one region a piece, low end first; refined here, so the cuts are exact among themselves.
    """
    low, high, near, far = polygon.box
    sides = [low, *stations, high]
    if polygon.is_box:
        return [(box_polygon((a, b, near, far)),) for a, b in pairwise(sides)]
    corners = _level_sides(polygon)
    if corners is not None and _are_between_ends(stations, corners):
        return _between_ends(stations, corners, near, far)
    parted = _parted(polygon, stations)
    if parted is not None:
        return parted
    boxes = [(a, b, near, far) for a, b in pairwise(sides)]
    return clip_to_boxes(refined((polygon,), list(stations), axis=0), boxes)


_Ends = tuple[tuple[int, int], tuple[int, int]]
"""From where to where the near and the far side of a strip go."""


def _level_sides(polygon: Polygon) -> _Ends | None:
    """The sides of a strip whose ends alone may slant; None of any other shape."""
    _, _, near, far = polygon.box
    if polygon.holes or len(polygon.outer) != 4:
        return None
    sides = [tuple(sorted(u for u, v in polygon.outer if v == line)) for line in (near, far)]
    first, last = (side if len(side) == 2 else None for side in sides)
    return None if first is None or last is None else (first, last)


def _are_between_ends(stations: Sequence[int], sides: _Ends) -> bool:
    """Whether all of ascending stations lie where a strip has its whole width."""
    (near, near_end), (far, far_end) = sides
    return not stations or (stations[0] > max(near, far) and stations[-1] < min(near_end, far_end))


def _between_ends(stations: Sequence[int], sides: _Ends, near: int, far: int) -> list[Region]:
    """Such a strip cut at stations: but for the first and the last piece all are boxes."""
    lows = [(sides[0][0], sides[1][0]), *((at, at) for at in stations)]
    highs = [*((at, at) for at in stations), (sides[0][1], sides[1][1])]
    return [
        (Polygon(((low, near), (high, near), (high_far, far), (low_far, far))),)
        for (low, low_far), (high, high_far) in zip(lows, highs, strict=True)
    ]


def _parted(polygon: Polygon, stations: Sequence[int]) -> list[Region] | None:
    """The same where each station meets two level edges and nothing else; None where it does not.

    Each part is then what is left of the ring between two stations, with the holes in it.
    """
    parts, rest = list[Region](), polygon
    for station in stations:
        both = _in_two(rest, station)
        if both is None:
            return None
        parts.append((both[0],))
        rest = both[1]
    return [*parts, (rest.tidy,)]


def _in_two(polygon: Polygon, station: int) -> tuple[Polygon, Polygon] | None:
    """What lies before a station and beyond it."""
    ring, sides = polygon.outer, [hole[0][0] > station for hole in polygon.holes]
    beyond = [u > station for u, _ in ring]
    met = [k for k in range(len(ring)) if beyond[k] != beyond[k - 1]]
    level = all(ring[k][1] == ring[k - 1][1] and station != ring[k][0] for k in met)
    if len(met) != 2 or not level or any(u == station for u, _ in ring):
        return None
    if any((u > station) != side or u == station
           for hole, side in zip(polygon.holes, sides, strict=True) for u, _ in hole):  # fmt: skip
        return None
    a, b = met
    ends = [(station, ring[k][1]) for k in met]
    inner, outer = (ends[0], *ring[a:b], ends[1]), (*ring[:a], *ends, *ring[b:])
    low, high = (outer, inner) if beyond[a] else (inner, outer)
    holes = [tuple(h for h, side in zip(polygon.holes, sides, strict=True) if side == far)
             for far in (False, True)]  # fmt: skip
    return Polygon(low, holes[0]).tidy, Polygon(high, holes[1]).tidy


def edges_before(polygon: Polygon, station: int) -> list[int]:
    """Where edges that come from below a station of the first coordinate reach it.

    To the tick, as `refined` gives them a corner there.
    """
    found = []
    for ring in polygon.rings:
        for start, end in zip(ring, ring[1:] + ring[:1], strict=True):
            low, high = (start, end) if start[0] < end[0] else (end, start)
            if low[0] < station <= high[0]:
                found.append(_at(low, high, station, axis=0)[1])
    return found


def span_beyond(polygon: Polygon, line: int, *, below: bool) -> tuple[int, int]:
    """From where to where a convex polygon reaches along on one side of a line across it.

    Some of it lies there. To the tick.
    """
    return polygon.flanks.beyond(line, below=below)
