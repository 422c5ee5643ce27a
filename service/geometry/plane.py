"""Topology by shapely on integer rings: validity, union, difference, gaps, clipping to boxes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import compress
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from service.geometry.closed_forms import are_apart_in, narrowed, pierced
from service.geometry.levels import between_levels
from service.geometry.rings import (
    Box,
    Point,
    Polygon,
    Region,
    Ring,
    around,
    bounds,
    clean,
    clean_polygon,
    meet,
    rectangle,
    shared,
    strictly_within,
    touching,
    twice_signed,
    within,
)
from service.units.ticks import whole

_MANY = 16
"""A ring with so many corners is cleaned as one array."""

_EXACT = 1 << 31
"""Steps (ticks) between corners whose products are exact in 64 bits."""

_OUT = 64
"""Ticks from a region at which a corner leaves more of its angle than snapping takes away."""

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
    """The union of regions; overlaps count once.

    What is convex and touches no other's box is as it was.
    """
    parts = [polygon for region in regions for polygon in region]
    near = touching([part.box for part in parts])
    alone = [k not in near and part.cleaned.is_convex for k, part in enumerate(parts)]
    rest = [_shape(part) for part, is_alone in zip(parts, alone, strict=True) if not is_alone]
    made = region_of(shapely.union_all(rest, grid_size=1)) if rest else ()
    return _in_order((*made, *(part.tidy for part in compress(parts, alone))))


def difference(region: Region, taken: Region) -> Region:
    """`region` less `taken`."""
    near = tuple(one for one in taken if any(meet(one.box, own.box) for own in region))
    if not near:
        return region
    if any(one.is_box and all(within(own.box, one.box) for own in region) for one in near):
        return ()
    known = pierced(region, near) or narrowed(region, near)
    if known is not None:
        return known
    whole, gone = _whole(region), _whole(near)
    if within(bounds(region), bounds(near)) and shapely.covers(gone, whole):
        return ()
    return region_of(shapely.difference(whole, gone, grid_size=1))


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
    if len(other) == 1 and other[0].is_box and are_apart_in(region, other[0].box):
        return _in_order(one.tidy for one in region)
    return region_of(shapely.intersection(_whole(region), _whole(other), grid_size=1))


def distance(region: Region, other: Region) -> float:
    """The least distance between two regions (ticks), 0 where they touch or overlap."""
    return float(shapely.distance(_whole(region), _whole(other)))


def has_corner_beyond(polygon: Polygon, region: Region) -> bool:
    """Whether a corner lies so far out of a region that no snapping can bring it in."""
    corners = shapely.points(np.asarray(polygon.outer, dtype=float))
    return bool((shapely.distance(corners, _whole(region)) > _OUT).any())


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
    if all(_is_valid(one) for one in region):
        return region
    shape = _whole(region)
    return without_needles(region_of(shapely.set_precision(shapely.make_valid(shape), 1)))


def _is_valid(polygon: Polygon) -> bool:
    known = polygon.is_plain or polygon.is_convex or polygon.is_pierced
    return known or bool(shapely.is_valid(_shape(polygon)))


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
    if len(outline) == 1 and outline[0].is_plain:
        return not strictly_within(bounds(region), outline[0].box)
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
    levelled = between_levels(region[0], boxes) if len(region) == 1 else None
    if levelled is not None:
        return levelled
    if len(boxes) > 1 and len(region) == 1 and region[0].holes and len(region[0].outer) < _MANY:
        own = _with_holes_in(region[0], boxes)
        return [clip_to_boxes((one,), [box])[0] for one, box in zip(own, boxes, strict=True)]
    low, high, near, far = np.asarray(boxes, dtype=float).T
    made = shapely.intersection(_whole(region), shapely.box(low, near, high, far))
    return [region_of(geometry) for geometry in np.atleast_1d(made)]


def _with_holes_in(polygon: Polygon, boxes: Sequence[Box]) -> list[Polygon]:
    """For each box a polygon with those of its holes alone that may lie in it."""
    holes = [(hole, Polygon(hole).box) for hole in polygon.holes]
    return [
        Polygon(polygon.outer, tuple(hole for hole, own in holes if meet(own, box)))
        for box in boxes
    ]


def area_in_box(region: Region, box: Box) -> float:
    """Twice the area of what of a region lies in a box (half square ticks), not snapped."""
    low, high, near, far = box
    return 2 * float(shapely.area(shapely.clip_by_rect(_whole(region), low, near, high, far)))


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
    return _in_order(one for one in polygons if one is not None)


def _in_order(polygons: Iterable[Polygon]) -> Region:
    """Polygons in a fixed order."""
    return tuple(sorted(polygons, key=lambda one: (one.box, one.outer)))


def _parts(geometry: Any) -> list[Any]:
    if geometry.geom_type == "Polygon":
        return [] if geometry.is_empty else [geometry]
    return [part for one in getattr(geometry, "geoms", ()) for part in _parts(one)]


def _polygon(part: Any) -> Polygon | None:
    outer = _clean(part.exterior)
    if len(outer) < 3:
        return None
    holes = [_clean(ring) for ring in part.interiors]
    made = clean_polygon(outer, tuple(sorted(hole[::-1] for hole in holes if len(hole) > 2)))
    # The area of one without holes is known from then on.
    return made if (twice_signed(outer) if made.holes else made.twice_area) else None


def _clean(ring: Any) -> Ring:
    """A shapely ring as `clean` gives it; of many corners all at once, which is quicker."""
    places = np.rint(shapely.get_coordinates(ring)[:-1]).astype(np.int64)
    if len(places) < _MANY or int(np.ptp(places, axis=0).max()) > _EXACT:
        return clean((x, y) for x, y in places.tolist())
    kept = _turning(places[_steps(places).any(axis=1)])
    if not shapely.is_ccw(ring):
        kept = kept[::-1]
    first = int(np.lexsort(kept.T)[0]) if len(kept) else 0
    return tuple((x, y) for x, y in [*kept[first:].tolist(), *kept[:first].tolist()])


def _turning(places: NDArray[np.int64]) -> NDArray[np.int64]:
    """Corners without those on the straight line between their neighbours, till none is left."""
    while len(places) >= 3:
        steps = _steps(places)
        after = np.concatenate((steps[1:], steps[:1]))
        turns = steps[:, 0] * after[:, 1] != steps[:, 1] * after[:, 0]
        if turns.all():
            break
        places = places[turns]
    return places


def _steps(places: NDArray[np.int64]) -> NDArray[np.int64]:
    """From the corner before to each."""
    return places - np.concatenate((places[-1:], places[:-1]))
