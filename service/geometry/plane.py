"""Topology by shapely on integer rings: validity, union, difference, gaps, clipping to boxes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from math import hypot
from typing import Any

import numpy as np
import shapely

from service.geometry.rings import (
    Box,
    Point,
    Polygon,
    Region,
    Ring,
    around,
    clean,
    meet,
    rectangle,
    shared,
    twice_signed,
    within,
)
from service.units.ticks import whole

_SHARPEST_MITRE = 1000.0
"""Times its width that a mitre reaches at most; only points under 1/9 degree have it blunted."""

_OVERLAP = 8
"""Ticks by which strips along edges lie over what they join: snapping opens no seam so wide."""

_NEEDLE = 2
"""Mean width in ticks up to which a part of a region is what snapping left, and no surface."""


def fault_of(ring: Ring) -> Point | None:
    """Where `ring` crosses or touches itself, or None if it is a simple ring."""
    said = shapely.is_valid_reason(shapely.Polygon(ring))
    found = re.search(r"\[(-?[\d.e+]+) (-?[\d.e+]+)\]", str(said))
    return (whole(float(found[1])), whole(float(found[2]))) if found else None


def union(regions: Iterable[Region]) -> Region:
    """The union of regions; overlaps count once."""
    parts = [_shape(polygon) for region in regions for polygon in region]
    return _region(shapely.union_all(parts, grid_size=1)) if parts else ()


def difference(region: Region, taken: Region) -> Region:
    """`region` less `taken`."""
    near = tuple(one for one in taken if any(meet(one.box, own.box) for own in region))
    if not near:
        return region
    if any(one.is_box and all(within(own.box, one.box) for own in region) for one in near):
        return ()
    return _region(shapely.difference(_whole(region), _whole(near), grid_size=1))


def intersection(region: Region, other: Region) -> Region:
    """What both regions cover."""
    if not any(meet(one.box, two.box) for one in region for two in other):
        return ()
    if len(region) == len(other) == 1 and (region[0].is_box or other[0].is_box):
        (one,), (two,) = region, other
        if one.is_box and two.is_box:
            return shared(one.box, two.box)
        if within(one.box, two.box) and two.is_box:
            return region
        if within(two.box, one.box) and one.is_box:
            return other
    return _region(shapely.intersection(_whole(region), _whole(other), grid_size=1))


def distance(region: Region, other: Region) -> float:
    """The least distance between two regions (ticks), 0 where they touch or overlap."""
    return float(shapely.distance(_whole(region), _whole(other)))


def closed(region: Region, by: int) -> Region:
    """`region` moved out by `by` ticks and back in: what is narrower than twice that is filled.

    Nothing beyond the hull of the region is: a mitre that was cut short would come back there.
    """
    wider = _region(shapely.buffer(_whole(region), by, join_style="mitre"))
    back = _region(shapely.buffer(_whole(wider), -by, join_style="mitre"))
    return intersection(back, _region(shapely.convex_hull(_whole(region))))


def sound(region: Region) -> Region:
    """`region` with each polygon valid again after its corners were snapped to ticks.

    An edge that snapping moved over another, in the point of a sharp corner, is cut off there.
    """
    if all(bool(shapely.is_valid(_shape(polygon))) for polygon in region):
        return region
    shape = _whole(region)
    return without_needles(_region(shapely.set_precision(shapely.make_valid(shape), 1)))


def without_needles(region: Region) -> Region:
    """`region` less the parts that are no wider than what snapping opens."""
    return tuple(part for part in region if part.twice_area > _NEEDLE * around(part.outer))


def touches_edge(region: Region, outline: Region) -> bool:
    """Whether `region` reaches or crosses the edge of `outline`."""
    return not bool(shapely.contains_properly(_whole(outline), _whole(region)))


def grown(ring: Ring, by: int) -> Region:
    """The ring's area moved out by `by` ticks on all sides, corners mitred."""
    if by == 0:
        return (Polygon(ring),)
    convex = _convex_grown(ring[::-1], by)
    if convex is not None:
        return convex
    return _region(
        shapely.union_all([shapely.Polygon(ring), *_strips(ring[::-1], by)], grid_size=1)
    )


def _convex_grown(ring: Ring, by: int) -> Region | None:
    """A convex ring (clockwise) moved out corner by corner; None where a corner has no plain mitre.

    Every mitre reaches at most as far as a right angle's, so each corner has one tip.
    """
    normals = [_left_normal(a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)]
    moved = []
    for corner, before, after in zip(ring, normals[-1:] + normals[:-1], normals, strict=True):
        mitre = _mitre(before, after, by)
        if mitre is None or before[0] * after[0] + before[1] * after[1] < 0:
            return None
        moved.append((whole(corner[0] + mitre[0]), whole(corner[1] + mitre[1])))
    return (Polygon(clean(moved)),)


def shrunk(ring: Ring, by: int) -> Region:
    """The ring's area moved in by `by` ticks on all sides, corners mitred; it may fall apart."""
    if by == 0:
        return (Polygon(ring),)
    whole_ring = Polygon(ring)
    if whole_ring.is_box:
        low, high, near, far = whole_ring.box
        inner = (low + by, high - by, near + by, far - by)
        return shared(inner, inner)
    taken = shapely.union_all(_strips(ring, by), grid_size=1)
    left = shapely.difference(shapely.Polygon(ring), taken, grid_size=1)
    return without_needles(_region(left))


def moved_out(polygon: Polygon, by: int) -> Region:
    """A polygon moved out by `by` ticks from its outer edge and into its holes."""
    left = union(shrunk(hole[::-1], by) for hole in polygon.holes)
    return difference(grown(polygon.outer, by), left)


def moved_in(region: Region, by: int) -> Region:
    """Each part of a region moved in by `by` ticks from its outer edges and its holes."""
    return tuple(part for one in region for part in _moved_in(one, by))


def _moved_in(polygon: Polygon, by: int) -> Region:
    left = shrunk(polygon.outer, by)
    if not polygon.holes:
        return left
    return without_needles(difference(left, union(grown(hole[::-1], by) for hole in polygon.holes)))


def _strips(ring: Ring, width: int) -> list[Any]:
    """A strip of `width` on the left of each edge, and a mitre where the ring turns right.

    Each begins a little to the right of its edge, and a mitre lies a little over both its strips:
    where two only touched, snapping would leave slivers between them.
    """
    count = len(ring)
    normals = [_left_normal(ring[k], ring[(k + 1) % count]) for k in range(count)]
    corners = []
    for k, start in enumerate(ring):
        normal, end = normals[k], ring[(k + 1) % count]
        corners.append([_moved(at, normal, by) for at in (start, end) for by in (-_OVERLAP, width)])
        mitre = _mitre(normals[k - 1], normal, width)
        if mitre is not None:
            (px, py), (nx, ny) = normals[k - 1], normal
            back, on = _moved(start, (-py, px), _OVERLAP), _moved(start, (ny, -nx), _OVERLAP)
            tip = (start[0] + mitre[0], start[1] + mitre[1])
            sides = [_moved(back, (px, py), width), _moved(on, normal, width)]
            corners.append([back, on, tip, *sides])
    return [strip for strip in _hulls(corners) if strip.geom_type == "Polygon"]


def _left_normal(start: Point, end: Point) -> tuple[float, float]:
    dx, dy = end[0] - start[0], end[1] - start[1]
    if dx == 0 or dy == 0:
        return (-float(dy > 0) + float(dy < 0), float(dx > 0) - float(dx < 0))
    length = hypot(dx, dy)
    return -dy / length, dx / length


def _mitre(
    before: tuple[float, float], after: tuple[float, float], width: int
) -> tuple[float, float] | None:
    """From a corner to the meeting of its two moved edges; None where they meet without it."""
    turn = before[0] * after[1] - before[1] * after[0]
    if turn >= 0:
        return None
    along = 1 + before[0] * after[0] + before[1] * after[1]
    scale = width / max(along, 2 / _SHARPEST_MITRE**2)
    return (before[0] + after[0]) * scale, (before[1] + after[1]) * scale


def _moved(point: tuple[float, float], way: tuple[float, float], by: float) -> tuple[float, float]:
    """A point moved `by` ticks in the direction of a unit vector."""
    return point[0] + by * way[0], point[1] + by * way[1]


def _hulls(groups: list[list[tuple[float, float]]]) -> Any:
    """The convex polygon of each group of corners, snapped; a line or a point where it has no area.

    All of them at once, which is several times quicker than one by one.
    """
    places = [(whole(x), whole(y)) for corners in groups for x, y in corners]
    numbers = np.repeat(np.arange(len(groups)), [len(corners) for corners in groups])
    points = shapely.multipoints(np.asarray(places, dtype=float), indices=numbers)
    return shapely.convex_hull(points)


def clip_to_boxes(region: Region, boxes: Sequence[Box]) -> list[Region]:
    """For each box (low, high, near, far), the parts of `region` inside it.

    Exact where every edge of the region meets the sides of the boxes at its own corners only
    (`refined` sees to it).
    """
    if not boxes:
        return []
    if len(region) == 1 and region[0].is_box:
        return [shared(region[0].box, box) for box in boxes]
    low, high, near, far = np.asarray(boxes, dtype=float).T
    made = shapely.intersection(_whole(region), shapely.box(low, near, high, far))
    return [_region(geometry) for geometry in np.atleast_1d(made)]


def rest_of_box(polygon: Polygon, box: Box) -> Region:
    """What `polygon` leaves of the box (low, high, near, far) around it, part by part."""
    low, high, near, far = box
    around = shapely.Polygon(rectangle(low, near, high, far))
    return _region(shapely.difference(around, _shape(polygon)))


def _shape(polygon: Polygon) -> Any:
    """A shapely polygon; through arrays, which is several times quicker than point by point."""
    holes = [shapely.linearrings(np.asarray(hole, dtype=float)) for hole in polygon.holes]
    outer = shapely.linearrings(np.asarray(polygon.outer, dtype=float))
    return shapely.polygons(outer, holes or None)


def _whole(region: Region) -> Any:
    if len(region) == 1:
        return _shape(region[0])
    return shapely.multipolygons([_shape(polygon) for polygon in region])


def _region(geometry: Any) -> Region:
    """The polygons of a shapely result, in a fixed order; lines and points are dropped.

    Snapped as a whole where it is not on ticks yet, for corners snapped one by one can cross.
    """
    places = shapely.get_coordinates(geometry)
    if not np.array_equal(places, np.rint(places)):
        geometry = shapely.set_precision(geometry, 1)
    parts = [part for part in _parts(geometry) if part.geom_type == "Polygon"]
    polygons = [_polygon(part) for part in parts]
    return tuple(sorted((p for p in polygons if p is not None), key=lambda p: (p.box, p.outer)))


def _parts(geometry: Any) -> list[Any]:
    if geometry.geom_type == "Polygon":
        return [] if geometry.is_empty else [geometry]
    return [part for one in getattr(geometry, "geoms", ()) for part in _parts(one)]


def _polygon(part: Any) -> Polygon | None:
    outer = clean(_integers(part.exterior))
    if len(outer) < 3 or twice_signed(outer) == 0:
        return None
    holes = [clean(_integers(ring)) for ring in part.interiors]
    return Polygon(outer, tuple(sorted(hole[::-1] for hole in holes if len(hole) > 2)))


def _integers(ring: Any) -> list[Point]:
    coordinates = np.rint(shapely.get_coordinates(ring)[:-1]).astype(np.int64)
    return [(int(x), int(y)) for x, y in coordinates.tolist()]
