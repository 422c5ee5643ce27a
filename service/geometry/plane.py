"""Topology by shapely on integer rings: validity, union, difference, gaps, clipping to boxes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
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

_NEEDLE = 2
"""Mean width in ticks up to which a part of a region is what snapping left, and no surface."""


def fault_of(ring: Ring) -> Point | None:
    """Where `ring` crosses or touches itself, or None if it is a simple ring."""
    if Polygon(ring).is_plain:
        return None
    said = shapely.is_valid_reason(shapely.Polygon(ring))
    found = re.search(r"\[(-?[\d.e+]+) (-?[\d.e+]+)\]", str(said))
    return (whole(float(found[1])), whole(float(found[2]))) if found else None


def union(regions: Iterable[Region]) -> Region:
    """The union of regions; overlaps count once."""
    parts = [_shape(polygon) for region in regions for polygon in region]
    return region_of(shapely.union_all(parts, grid_size=1)) if parts else ()


def difference(region: Region, taken: Region) -> Region:
    """`region` less `taken`."""
    near = tuple(one for one in taken if any(meet(one.box, own.box) for own in region))
    if not near:
        return region
    if any(one.is_box and all(within(own.box, one.box) for own in region) for one in near):
        return ()
    return region_of(shapely.difference(_whole(region), _whole(near), grid_size=1))


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
    return region_of(shapely.intersection(_whole(region), _whole(other), grid_size=1))


def distance(region: Region, other: Region) -> float:
    """The least distance between two regions (ticks), 0 where they touch or overlap."""
    return float(shapely.distance(_whole(region), _whole(other)))


def closed(region: Region, by: int) -> Region:
    """`region` moved out by `by` ticks and back in: what is narrower than twice that is filled.

    Nothing beyond the hull of the region is: a mitre that was cut short would come back there.
    """
    wider = region_of(shapely.buffer(_whole(region), by, join_style="mitre"))
    back = region_of(shapely.buffer(_whole(wider), -by, join_style="mitre"))
    return intersection(back, region_of(shapely.convex_hull(_whole(region))))


def sound(region: Region) -> Region:
    """`region` with each polygon valid again after its corners were snapped to ticks.

    An edge that snapping moved over another, in the point of a sharp corner, is cut off there.
    """
    if all(one.is_plain or bool(shapely.is_valid(_shape(one))) for one in region):
        return region
    shape = _whole(region)
    return without_needles(region_of(shapely.set_precision(shapely.make_valid(shape), 1)))


def without_needles(region: Region) -> Region:
    """`region` less the parts that are no wider than what snapping opens."""
    return tuple(part for part in region if part.twice_area > _NEEDLE * _around(part))


def _around(part: Polygon) -> int:
    """The length of its outer ring, to the nearest tick."""
    low, high, near, far = part.box
    return 2 * (high - low + far - near) if part.is_plain else around(part.outer)


def without_slivers(region: Region, wide: int) -> Region:
    """The parts wider in the mean than `wide` ticks: not what rounding leaves along an edge."""
    parts = without_needles(region)
    return tuple(part for part in parts if part.twice_area > 2 * wide * _reach(part))


def _reach(part: Polygon) -> int:
    """The longer side of the box round a part, ticks."""
    low, high, near, far = part.box
    return max(high - low, far - near)


def touches_edge(region: Region, outline: Region) -> bool:
    """Whether `region` reaches or crosses the edge of `outline`."""
    return not bool(shapely.contains_properly(_whole(outline), _whole(region)))


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
    return [region_of(geometry) for geometry in np.atleast_1d(made)]


def rest_of_box(polygon: Polygon, box: Box) -> Region:
    """What `polygon` leaves of the box (low, high, near, far) around it, part by part."""
    low, high, near, far = box
    around = shapely.Polygon(rectangle(low, near, high, far))
    return region_of(shapely.difference(around, _shape(polygon)))


def _shape(polygon: Polygon) -> Any:
    """A shapely polygon; through arrays, which is several times quicker than point by point."""
    holes = [shapely.linearrings(np.asarray(hole, dtype=float)) for hole in polygon.holes]
    outer = shapely.linearrings(np.asarray(polygon.outer, dtype=float))
    return shapely.polygons(outer, holes or None)


def _whole(region: Region) -> Any:
    if len(region) == 1:
        return _shape(region[0])
    return shapely.multipolygons([_shape(polygon) for polygon in region])


def region_of(geometry: Any) -> Region:
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
    if len(outer) < 3:
        return None
    holes = [clean(_integers(ring)) for ring in part.interiors]
    made = Polygon(outer, tuple(sorted(hole[::-1] for hole in holes if len(hole) > 2)))
    # The area of one without holes is known from then on.
    return made if (twice_signed(outer) if made.holes else made.twice_area) else None


def _integers(ring: Any) -> list[Point]:
    coordinates = np.rint(shapely.get_coordinates(ring)[:-1]).astype(np.int64)
    return [(x, y) for x, y in coordinates.tolist()]
