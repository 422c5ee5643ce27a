"""Rings moved in and out: by one width all round, or by a width of its own at each edge.

Each edge takes a strip as wide as its own width. Where two edges meet in a corner their moved lines
are brought to meet; along a wall that only bends, a width changes where the edge does (17.6).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import hypot, radians, sin
from typing import Any

import numpy as np
import shapely

from service.geometry.plane import difference, region_of, union, without_needles
from service.geometry.rings import Point, Polygon, Region, Ring, clean, clean_polygon, shared
from service.units.ticks import whole

_SHARPEST_MITRE = 1000.0
"""Times its width that a mitre reaches at most; only points under 1/9 degree have it blunted."""

_OVERLAP = 8
"""Ticks by which strips along edges lie over what they join: snapping opens no seam so wide."""

_CORNER = sin(radians(15))
"""Sine of the turn from which two walls meet in a corner; less is a bend of one (17.6)."""

Way = tuple[float, float]
"""A vector, in ticks or of length 1."""


def grown(ring: Ring, by: int) -> Region:
    """The ring's area moved out by `by` ticks on all sides, corners mitred."""
    if by == 0:
        return (Polygon(ring),)
    x, y = ring[0]
    convex = _convex_grown(tuple((u - x, v - y) for u, v in reversed(ring)), by)
    if convex is not None:
        return (clean_polygon(tuple((x + u, y + v) for u, v in convex)),)
    strips = _strips(ring[::-1], [by] * len(ring))
    return region_of(shapely.union_all([shapely.Polygon(ring), *strips], grid_size=1))


@lru_cache(maxsize=64)
def _convex_grown(ring: Ring, by: int) -> Ring | None:
    """A convex ring (clockwise) moved out corner by corner; None where a corner has no plain mitre.

    Every mitre reaches at most as far as a right angle's, so each corner has one tip. It is kept
    for a while, for openings are often alike.
    """
    normals = [_left_normal(a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)]
    moved = []
    for corner, before, after in zip(ring, normals[-1:] + normals[:-1], normals, strict=True):
        if _turn(before, after) >= 0 or before[0] * after[0] + before[1] * after[1] < 0:
            return None
        mitre = _meeting(before, after, by, by)
        moved.append((whole(corner[0] + mitre[0]), whole(corner[1] + mitre[1])))
    return clean(moved)


def shrunk(ring: Ring, by: int | Sequence[int]) -> Region:
    """The ring's area moved in by `by` ticks, corners mitred; it may fall apart.

    One width is that of all sides; of several the first is that of the edge from the first corner
    to the second, and so on round.
    """
    widths = [by] * len(ring) if isinstance(by, int) else by
    if not any(widths):
        return (Polygon(ring),)
    if isinstance(by, int) and Polygon(ring).is_box:
        low, high, near, far = Polygon(ring).box
        inner = (low + by, high - by, near + by, far - by)
        return shared(inner, inner)
    taken = shapely.union_all(_strips(ring, widths), grid_size=1)
    left = shapely.difference(shapely.Polygon(ring), taken, grid_size=1)
    return without_needles(region_of(left))


def stretched(ring: Ring, widths: Sequence[int]) -> Ring:
    """A ring whose edges are moved out, each by its own width; it has as many corners as before.

    Of two edges that lie straight on, the first one's width holds at the corner between them.
    """
    count = len(ring)
    normals = [_left_normal(ring[k], ring[(k + 1) % count]) for k in range(count)]
    moved = []
    for k, at in enumerate(ring):
        before, after = normals[k - 1], normals[k]
        if abs(_turn(before, after)) < _CORNER:
            out = _moved((0, 0), before, -widths[k - 1])
        else:
            out = _meeting(before, after, -widths[k - 1], -widths[k])
        moved.append((whole(at[0] + out[0]), whole(at[1] + out[1])))
    return tuple(moved)


def moved_out(polygon: Polygon, by: int) -> Region:
    """A polygon moved out by `by` ticks from its outer edge and into its holes."""
    left = union(shrunk(hole[::-1], by) for hole in polygon.holes)
    return difference(grown(polygon.outer, by), left)


def moved_in(region: Region, by: int) -> Region:
    """Each part of a region moved in by `by` ticks from its outer edges and its holes."""
    return tuple(
        part for one in region for part in less_holes(shrunk(one.outer, by), one.holes, by)
    )


def less_holes(region: Region, holes: Sequence[Ring], by: int) -> Region:
    """A region less holes that are moved out by `by` ticks into it."""
    if not holes:
        return region
    return without_needles(difference(region, union(grown(hole[::-1], by) for hole in holes)))


def passed_over(ring: Ring, widths: Sequence[int]) -> int | None:
    """The number of an edge that the wider strip beside it passes over, where no lines meet.

    None where each two moved lines meet over both their edges.
    """
    count = len(ring)
    normals = [_left_normal(ring[k], ring[(k + 1) % count]) for k in range(count)]
    for k in range(count):
        before, after = normals[k - 1], normals[k]
        corner = _corner(before, after, widths[k - 1], widths[k])
        if corner is None or widths[k - 1] == widths[k] or _turn(before, after) < 0:
            continue
        narrow, way = ((k - 1) % count, before) if widths[k - 1] < widths[k] else (k, after)
        (ax, ay), (bx, by) = ring[narrow], ring[(narrow + 1) % count]
        if abs(corner[0][0] * way[1] - corner[0][1] * way[0]) > hypot(bx - ax, by - ay):
            return narrow
    return None


def _strips(ring: Ring, widths: Sequence[int]) -> list[Any]:
    """A strip along the left of each edge, and what lies between two of them at a corner.

    Each begins a little to the right of its edge, and a corner's part lies a little over both its
    strips: where two only touched, snapping would leave slivers between them.
    """
    count = len(ring)
    normals = [_left_normal(ring[k], ring[(k + 1) % count]) for k in range(count)]
    corners = []
    for k, start in enumerate(ring):
        normal, end, width = normals[k], ring[(k + 1) % count], widths[k]
        corners.append([_moved(at, normal, by) for at in (start, end) for by in (-_OVERLAP, width)])
        corners += _between(start, normals[k - 1], normal, widths[k - 1], width)
    return [strip for strip in _hulls(corners) if strip.geom_type == "Polygon"]


def _between(
    at: Point, before: Way, after: Way, width_before: int, width_after: int
) -> Iterator[list[Way]]:
    """The part that two strips leave between them at a corner, by its own corners."""
    corner = _corner(before, after, width_before, width_after)
    if corner is None:
        return
    tip, first, last = corner
    (px, py), (nx, ny) = before, after
    back, on = _moved(at, (-py, px), _OVERLAP), _moved(at, (ny, -nx), _OVERLAP)
    inner = [at] if _turn(before, after) >= 0 else []
    there = (at[0] + tip[0], at[1] + tip[1])
    yield [back, on, there, _moved(back, before, first), _moved(on, after, last), *inner]


def _left_normal(start: Point, end: Point) -> Way:
    dx, dy = end[0] - start[0], end[1] - start[1]
    if dx == 0 or dy == 0:
        return (-float(dy > 0) + float(dy < 0), float(dx > 0) - float(dx < 0))
    length = hypot(dx, dy)
    return -dy / length, dx / length


def _turn(before: Way, after: Way) -> float:
    """Sine of the turn between two edges, by their normals: under 0 at a reflex corner."""
    return before[0] * after[1] - before[1] * after[0]


def _corner(
    before: Way, after: Way, width_before: int, width_after: int
) -> tuple[Way, float, float] | None:
    """From a corner to the meeting of its two moved edges, and how far each strip reaches there.

    None where the strips meet without it. A reflex corner, which turns right, has it always; any
    other where the one line passes over the end of the other strip.
    """
    if _turn(before, after) >= 0:
        return _over_the_end(before, after, width_before, width_after)
    cosine = before[0] * after[0] + before[1] * after[1]
    if width_before != width_after and width_after < width_before * cosine:
        # The moved lines meet beside the wider strip: it ends square, at the corner.
        reach = width_after / cosine
        return (before[0] * reach, before[1] * reach), reach, width_after
    if width_before != width_after and width_before < width_after * cosine:
        reach = width_before / cosine
        return (after[0] * reach, after[1] * reach), width_before, reach
    return _meeting(before, after, width_before, width_after), width_before, width_after


def _over_the_end(
    before: Way, after: Way, width_before: int, width_after: int
) -> tuple[Way, float, float] | None:
    """At a corner that turns left: where the wider gap's line goes on to the narrower's."""
    cosine = before[0] * after[0] + before[1] * after[1]
    narrow, wide = sorted((width_before, width_after))
    if narrow >= wide * cosine or _turn(before, after) < _CORNER:
        return None
    return _meeting(before, after, width_before, width_after), width_before, width_after


def _meeting(before: Way, after: Way, width_before: int, width_after: int) -> Way:
    """From a corner to where its two moved edges meet, each by its own width."""
    cosine = before[0] * after[0] + before[1] * after[1]
    along = max(1 + cosine, 2 / _SHARPEST_MITRE**2)
    if width_before == width_after:
        scale = width_before / along
        return (before[0] + after[0]) * scale, (before[1] + after[1]) * scale
    first = (width_before - width_after * cosine) / ((1 - cosine) * along)
    last = (width_after - width_before * cosine) / ((1 - cosine) * along)
    return before[0] * first + after[0] * last, before[1] * first + after[1] * last


def _moved(point: Way, way: Way, by: float) -> Way:
    """A point moved `by` ticks in the direction of a unit vector."""
    return point[0] + by * way[0], point[1] + by * way[1]


def _hulls(groups: Sequence[Sequence[Way]]) -> Any:
    """The convex polygon of each group of corners, snapped; a line or a point where it has no area.

    All of them at once, which is several times quicker than one by one.
    """
    places = [(whole(x), whole(y)) for corners in groups for x, y in corners]
    numbers = np.repeat(np.arange(len(groups)), [len(corners) for corners in groups])
    points = shapely.multipoints(np.asarray(places, dtype=float), indices=numbers)
    return shapely.convex_hull(points)
