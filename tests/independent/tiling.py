"""Whether the placed pieces tile the boarded region: no overlap, and no gap but stated ones.

The region is built by offsetting and overlaying whole polygons, and tried by sampling points.
"""

from __future__ import annotations

import random
from typing import Any

from shapely.affinity import translate
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union
from shapely.strtree import STRtree

from tests.independent import unsawn
from tests.independent.asked import Layer, laid, placed_polygon, rows
from tests.independent.measure import INCH, slack, ticks
from tests.independent.plane import SHARP, growth
from tests.independent.reader import EPSILON

ROUND = 0.0006
"""Most that two 128-cornered discs of one circle differ, as part of the radius."""


def faults(request: dict[str, Any], answer: dict[str, Any]) -> list[str]:
    """What is wrong with the tiling of each layer; empty if nothing is."""
    found: list[str] = []
    for layer in laid(request, answer):
        pieces = [placed_polygon(row, layer.unit) for row in rows(answer, "pieces", layer)]
        target = boarded(layer, answer)
        give = leeway(layer, target, pieces)
        found += _overlaps(pieces, layer.unit) + _difference(layer, target, pieces, give)
        found += _sampled(layer, target, pieces) + unsawn.missed(layer, answer)
    return found


def boarded(layer: Layer, answer: dict[str, Any]) -> BaseGeometry:
    """The region in stations, less open joints, edge gaps and runs too short to be boarded."""
    legs = legs_cut_out(layer, answer)
    region = with_whole_courses(layer, answer).difference(legs)
    region = region.difference(square_ends(layer, answer, legs))
    low, _, high, _ = layer.outline.bounds
    strips = []
    for row in rows(answer, "courses", layer):
        sides = sorted((ticks(row["near"], layer.unit), ticks(row["far"], layer.unit)))
        strips.append(region.intersection(box(low, sides[0], high, sides[1])))
    least = layer.rule("min_run") - 2 * slack(layer.unit)
    long = [part for strip in strips for part in _parts(strip) if _length(part) >= least]
    return unary_union(long)


def legs_cut_out(layer: Layer, answer: dict[str, Any]) -> BaseGeometry:
    """Strips of courses beside openings that are too narrow to stay and that a flange covers.

    The flange laps the boards beyond such a strip by 3/8 in at least. A strip of 1/64 in counts
    as nothing, whatever covers it.
    """
    strips = [
        strip
        for sent, drawn, cut in zip(
            layer.surface.get("openings", []), layer.seen.drawn, layer.seen.cut, strict=True
        )
        for row in rows(answer, "courses", layer)
        for strip in _strips(layer, row, layer.frame.moved(cut), _flange(layer, sent, drawn))
    ]
    return unary_union(strips)


def square_ends(layer: Layer, answer: dict[str, Any], legs: BaseGeometry) -> BaseGeometry:
    """What ends that are square leave between them and openings that cut courses in two (5.3).

    The flange covers so much of each board that its whole edge lies within 3/8 in less.
    """
    found = []
    for sent, cut in zip(layer.surface.get("openings", []), layer.seen.cut, strict=True):
        spare = ticks(sent.get("flange", 0), layer.unit) - growth(sent, layer.unit) - INCH * 3 // 8
        hole = layer.frame.moved(cut)
        for row in rows(answer, "courses", layer) if spare > 0 else ():
            near, far = sorted((ticks(row["near"], layer.unit), ticks(row["far"], layer.unit)))
            low, _, high, _ = hole.bounds
            band = box(low, near, high, far)
            for part in _parts(unary_union([hole, legs.intersection(band)]).intersection(band)):
                found += _square(part, near, far, spare, 4 * slack(layer.unit))
    return unary_union(found)


def _square(part: Polygon, near: float, far: float, spare: int, give: int) -> list[BaseGeometry]:
    """What is open at either end of a part of a hole, if that reaches both edges of the course."""
    low, below, high, above = part.bounds
    if part.is_empty or below - near > EPSILON or far - above > EPSILON:
        return []
    around = [one for one in _parts(box(low, near, high, far).difference(part)) if one.area > give]
    ends = [
        [one for one in around if (one.centroid.x < (low + high) / 2) == at_low]
        for at_low in (True, False)
    ]
    return [
        piece
        for own, at_low in zip(ends, (True, False), strict=True)
        for piece in own
        if all(_deep(one, low, high, at_low) <= spare for one in own)
    ]


def _deep(one: Polygon, low: float, high: float, at_low: bool) -> float:
    left, _, right, _ = one.bounds
    return right - low if at_low else high - left


def _flange(layer: Layer, sent: dict[str, Any], drawn: Polygon) -> BaseGeometry:
    """What a flange covers with 3/8 in to spare; nothing without a flange."""
    reach = ticks(sent.get("flange", 0), layer.unit) - INCH * 3 // 8
    if reach <= growth(sent, layer.unit):
        return Polygon()
    wide = drawn.buffer(reach, join_style="mitre", mitre_limit=SHARP)
    return layer.frame.moved(wide)


def _strips(layer: Layer, row: dict[str, Any], cut: Polygon, flange: BaseGeometry) -> list[Polygon]:
    """The strips of one course, above and below the parts of one opening that lie in it."""
    near, far = sorted((ticks(row["near"], layer.unit), ticks(row["far"], layer.unit)))
    give, found = 4 * slack(layer.unit), []
    for part in _parts(cut.intersection(box(cut.bounds[0], near, cut.bounds[2], far))):
        _, low, _, high = part.bounds
        if high - low <= EPSILON:
            continue
        for width, is_low in ((low - near, True), (far - high, False)):
            if give < width < layer.rule("min_leg") - give:
                deep = 2 * EPSILON if width <= EPSILON else layer.rule("min_leg")
                ends = (near, min(near + deep, high)) if is_low else (max(far - deep, low), far)
                reach = part.intersection(box(part.bounds[0], ends[0], part.bounds[2], ends[1]))
                strip = box(reach.bounds[0], ends[0], reach.bounds[2], ends[1])
                bare = strip.difference(unary_union([cut, flange])).area
                if width <= EPSILON or bare < give * strip.length:
                    found.append(strip)
    return found


def with_whole_courses(layer: Layer, answer: dict[str, Any]) -> BaseGeometry:
    """The region, and what lies within 1/64 in of its extremes across the boards.

    A last course that lacks no more than that is laid whole, and the gap is so much less; so is
    one at a wall whose gap takes a little more. A narrow strip at such a wall is not laid.
    """
    region = layer.frame.moved_all(layer.room())
    _, near, _, far = region.bounds
    low, _, high, _ = layer.outline.bounds
    wider = layer.frame.moved_all(layer.room(EPSILON))
    inner = layer.frame.moved_all(layer.inset())
    ends = [box(low, near - EPSILON, high, near), box(low, far, high, far + EPSILON)]
    sides = box(inner.bounds[0], near - EPSILON, inner.bounds[2], far + EPSILON)
    whole = [region, wider.intersection(unary_union(ends)).intersection(sides)]
    left = unsawn.room(layer, answer).difference(layer.frame.moved_all(unary_union(layer.seen.cut)))
    return unary_union([*whole, left]).difference(unary_union(unsawn.left_over(layer, answer)))


def _length(part: Polygon) -> float:
    """Extent along the boards."""
    low, _, high, _ = part.bounds
    return float(high - low)


def leeway(layer: Layer, target: BaseGeometry, pieces: list[Polygon]) -> float:
    """Area that rounding of printed stations, and of discs to polygons, can account for."""
    edges = target.length + sum(piece.length for piece in pieces)
    discs = [opening for opening in layer.surface.get("openings", []) if "circle" in opening]
    radii = [ticks(opening["circle"][2], layer.unit) / 2 for opening in discs]
    return float(edges) * 2 * slack(layer.unit) + sum(
        8 * radius * radius * ROUND for radius in radii
    )


def _overlaps(pieces: list[Polygon], unit: str) -> list[str]:
    tree = STRtree(pieces)
    pairs = tree.query(pieces, predicate="intersects").T
    found = []
    for one, other in pairs:
        if one < other:
            shared = pieces[one].intersection(pieces[other])
            if shared.area > max(shared.length, 1) * 4 * slack(unit):
                found.append(f"pieces {one} and {other} overlap by {shared.area}")
    return found


def _difference(
    layer: Layer, target: BaseGeometry, pieces: list[Polygon], give: float
) -> list[str]:
    union = unary_union(
        [piece.buffer(slack(layer.unit) + 1, join_style="mitre") for piece in pieces]
    )
    outside = union.difference(target).area
    missing = sum(_less_slivers(part).area for part in _parts(target.difference(union)))
    found = [] if outside <= give else [f"{layer.key}: pieces reach {outside} outside the region"]
    return found + ([] if missing <= give else [f"{layer.key}: {missing} of the region is bare"])


def _less_slivers(part: Polygon) -> BaseGeometry:
    """What of a bare part is more than 1/64 in across: beside a step of a wall less is nothing."""
    above = part.intersection(translate(part, 0, EPSILON + 8))
    return above.union(translate(above, 0, -EPSILON - 8))


def _parts(shape: BaseGeometry) -> list[Polygon]:
    shapes = getattr(shape, "geoms", [shape])
    return [part for part in shapes if isinstance(part, Polygon)]


def _sampled(layer: Layer, target: BaseGeometry, pieces: list[Polygon]) -> list[str]:
    """Points of the region, off its edges, lie in one piece; points off the region in none."""
    draw = random.Random(len(pieces))
    low, near, high, far = layer.outline.bounds
    tree = STRtree(pieces)
    off = 4 * slack(layer.unit) + _widest_disc(layer) * ROUND
    for _ in range(60):
        point = Point(draw.uniform(low, high), draw.uniform(near, far))
        if _near_an_edge(point, target, pieces, tree, off):
            continue
        held = len(tree.query(point, predicate="intersects"))
        if held != int(target.contains(point)):
            return [f"{layer.key}: station {point.x}, {point.y} lies in {held} pieces"]
    return []


def _widest_disc(layer: Layer) -> float:
    discs = [opening["circle"][2] for opening in layer.surface.get("openings", [])
             if "circle" in opening]  # fmt: skip
    return max((float(ticks(disc, layer.unit)) for disc in discs), default=0.0)


def _near_an_edge(
    point: Point, target: BaseGeometry, pieces: list[Polygon], tree: STRtree, off: float
) -> bool:
    if target.boundary.distance(point) < off:
        return True
    close = tree.query(point.buffer(off))
    return any(pieces[index].boundary.distance(point) < off for index in close)
