"""Where a set operation has a closed form, it gives what the topology library gives.

Shapes lie anywhere in a wall: apart, touching, overlapping, over its edge; some are round, some
rectangles, some notched. Whichever of them the closed form takes, the answer is the library's.
Round ones do not cross others: where that is snapped may depend on what else is joined with it.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import shapely
from hypothesis import given
from hypothesis import strategies as st

from service.geometry.frame import frame_of
from service.geometry.plane import clip_to_boxes, difference, intersection, region_of, union
from service.geometry.rings import (
    Point,
    Polygon,
    Region,
    bounds,
    circle,
    clean,
    reaches,
    rectangle,
    twice_area,
)
from service.geometry.strips import (
    cut_across,
    edges_before,
    in_strips,
    levelled,
    refined,
    span_beyond,
)
from service.layout.bearings import Bearing, line_of, lines_of
from tests.strategies.budget import examples

LONG, HIGH = 1200, 800
"""The wall, in ticks."""

BOX = rectangle(100, 50, 900, 400)
"""A rectangle in it."""


@st.composite
def shapes(draw: st.DrawFn) -> Polygon:
    """A rectangle or an L in the lower half, or above it a circle in a cell of its own."""
    x, y = draw(st.integers(0, LONG)), draw(st.integers(0, HIGH // 2))
    size = draw(st.integers(30, 160))
    right, top = x + size, y + size
    cell = (200 * (x // 200), HIGH + 90 * (x % 3 - 1))
    ring = draw(st.sampled_from([
        rectangle(x, y, right, y + size // 2),
        circle(*cell, size, corners=24),
        ((x, y), (right, y), (right, y + 9), (x + 9, y + 9), (x + 9, top), (x, top)),
    ]))  # fmt: skip
    return Polygon(ring)


def shape_of(region: Region) -> shapely.Geometry:
    return shapely.union_all([shapely.Polygon(one.outer, one.holes) for one in region], grid_size=1)


@examples(600)
@given(st.lists(shapes(), max_size=6))
def test_set_operations_give_what_the_library_gives(parts: list[Polygon]) -> None:
    wall = Polygon(rectangle(0, 0, LONG, HIGH))
    taken = union((part,) for part in dict.fromkeys(parts))
    assert taken == region_of(shape_of(tuple(parts)))
    whole, holes = shape_of((wall,)), shape_of(taken)
    left = difference((wall,), taken)
    assert left == (region_of(shapely.difference(whole, holes, grid_size=1)) if taken else (wall,))
    shared = intersection(taken, (wall,))
    assert shared == (region_of(shapely.intersection(holes, whole, grid_size=1)) if taken else ())


@examples(300)
@given(shapes(), st.integers(1, 90_000), st.tuples(st.integers(0, 210), st.integers(0, 210)))
def test_what_lies_between_levels_is_what_the_library_clips(
    shape: Polygon, scale: int, levels: tuple[int, int]
) -> None:
    """In true size, at levels beside it, at its corners, and where they must be snapped."""
    x, y = shape.outer[0]
    large = Polygon(clean([(scale * (a - x), scale * (b - y)) for a, b in shape.outer]))
    low, high, bottom, top = large.box
    rise = (top - bottom) // 197
    near, far = sorted(bottom + level * rise - level % 3 for level in levels)
    boxes = [(low, high, near, far), (low, high, far, top), (low, high, bottom - 1, near)]
    boxes = [one for one in boxes if one[2] < one[3]]
    wanted = [region_of(shapely.intersection(shape_of((large,)), _box(one))) for one in boxes]
    assert clip_to_boxes((large,), boxes) == wanted


def _box(box: tuple[int, int, int, int]) -> shapely.Geometry:
    low, high, near, far = box
    return shapely.box(low, near, high, far)


@examples(60)
@given(st.lists(shapes(), max_size=5), st.lists(st.integers(1, HIGH - 1), max_size=6))
def test_strips_of_a_pierced_wall_are_what_the_library_clips(
    parts: list[Polygon], lines: list[int]
) -> None:
    """Each strip looks at the holes in it alone; corners near a line are put on it first."""
    cuts = [line for k, line in enumerate(sorted(set(lines))) if k % 2]
    wall = (Polygon(rectangle(0, 0, LONG, HIGH)),)
    left = difference(wall, union((part,) for part in dict.fromkeys(parts)))
    fine = refined(levelled(left, cuts, axis=1, within=1), cuts, axis=1)
    strips = list(pairwise((0, *cuts, HIGH)))
    boxes = [shapely.box(0, near, LONG, far) for near, far in strips]
    wanted = [region_of(shapely.intersection(shape_of(fine), box)) for box in boxes]
    assert in_strips(fine, strips) == wanted
    assert sum(map(twice_area, wanted)) == twice_area(fine)


@examples(200)
@given(st.lists(shapes(), max_size=4), st.integers(0, HIGH), st.integers(1, LONG - 1))
def test_a_pierced_wall_is_narrowed_and_cut_across_as_the_library_does(
    parts: list[Polygon], deep: int, station: int
) -> None:
    """A strip along either side is taken of it, over holes or clear of them."""
    left = difference((Polygon(rectangle(0, 0, LONG, HIGH)),), union((part,) for part in parts))
    for strip in (rectangle(-5, HIGH - deep, LONG, HIGH), rectangle(0, -9, LONG + 9, deep)):
        taken = Polygon(strip)
        if deep:
            wanted = shapely.difference(shape_of(left), shape_of((taken,)), grid_size=1)
            assert difference(left, (taken,)) == region_of(wanted)
    for part in refined(left, [station], axis=0):
        low, high, near, far = part.box
        if low < station < high:
            boxes = [(low, station, near, far), (station, high, near, far)]
            assert cut_across(part, [station]) == [
                region_of(shapely.intersection(shape_of((part,)), _box(one))) for one in boxes
            ]


@examples(300)
@given(shapes(), st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), max_size=4))
def test_a_ring_read_as_one_array_is_cleaned_as_point_by_point(
    shape: Polygon, more: list[Point]
) -> None:
    """With corners that are repeated, and others on straight edges between them."""
    doubled = [(4 * x, 4 * y) for x, y in shape.outer for _ in (0, 1)]
    halves = [
        ((a[0] + b[0]) // 2, (a[1] + b[1]) // 2)
        for a, b in zip(doubled, doubled[1:] + doubled[:1], strict=True)
    ]
    ring = [point for pair in zip(doubled, halves, strict=True) for point in pair]
    ring = [(x + len(more), y) for x, y in (ring if len(more) % 2 else ring[::-1])]
    (made,) = region_of(shapely.Polygon(ring))
    assert made.outer == clean(ring)


@examples(300)
@given(st.lists(shapes(), min_size=1, max_size=3), st.integers(1, LONG))
def test_the_breadth_at_a_station_is_that_of_the_piece_cut_there(
    parts: list[Polygon], station: int
) -> None:
    for part in union((part,) for part in parts):
        low, high, _, _ = part.box
        if low < station < high and not part.holes:
            corners = [at for piece in cut_across(part, [station])[0] for at in piece.outer]
            there = [across for along, across in corners if along == station]
            found = edges_before(part, station)
            assert (min(found), max(found)) == (min(there), max(there))


@examples(150)
@given(
    ends=st.tuples(*[st.integers(0, 200), st.integers(1000, LONG)] * 2),
    stations=st.sets(st.integers(1, LONG - 1), max_size=4),
    first=st.integers(0, 3),
)
def test_a_strip_with_slanted_ends_is_cut_as_the_library_cuts_it(
    ends: tuple[int, ...], stations: set[int], first: int
) -> None:
    """Between its ends and through them, whichever corner its ring begins with."""
    near, near_end, far, far_end = ends
    ring = ((near, 50), (near_end, 50), (far_end, 400), (far, 400))
    strip = Polygon((*ring[first:], *ring[:first]))
    low, high = min(near, far), max(near_end, far_end)
    own = sorted(at for at in stations if low < at < high)
    boxes = [(a, b, 50, 400) for a, b in pairwise([low, *own, high])]
    assert cut_across(strip, own) == clip_to_boxes(refined((strip,), own, axis=0), boxes)


@examples(120)
@given(
    st.lists(st.integers(0, LONG), min_size=1, max_size=5),
    st.lists(st.integers(0, HIGH), max_size=5),
    st.booleans(),
    st.booleans(),
)
def test_courses_meet_bearings_together_as_each_by_itself(
    bases: list[int], places: list[int], slanted: bool, ends: bool
) -> None:
    """Some slant, some end on the surface; a plain rectangle is met as one with more corners is."""
    bearings = tuple(
        Bearing(k + 1, at, 0.25 * k * slanted, 9, k, (0, HIGH // 2) if ends and k % 2 else None)
        for k, at in enumerate(sorted(bases))
    )
    assert lines_of(bearings, places) == [line_of(bearings, at) for at in places]
    for at in places:
        plain, cornered = (
            Polygon(ring) for ring in (BOX, (*BOX[:1], (BOX[1][0] // 2, BOX[0][1]), *BOX[1:]))
        )
        assert reaches(plain, at, 1) == reaches(cornered, at, 1)
        assert reaches(plain, at, 0) == reaches(cornered, at, 0)


@examples(200)
@given(shapes(), st.integers(1, 200), st.booleans(), st.sampled_from([0, 90, 180, 270]))
def test_a_convex_shape_is_measured_as_it_is_cut(
    shape: Polygon, deep: int, below: bool, degrees: int
) -> None:
    """From where to where it lies in a band at its edge, and its box in a turned frame."""
    low, high, near, far = shape.box
    deep = min(deep, far - near)
    line = near + deep if below else far - deep
    band = (low, high, near, line) if below else (low, high, line, far)
    (there,) = clip_to_boxes((shape,), [band])
    if shape.is_convex:
        assert [one.box[:2] for one in there] == [span_beyond(shape, line, below=below)]
    frame = frame_of(((3, 5), *shape.outer), Fraction(degrees))
    assert frame.bounds((shape,)) == bounds(frame.region((shape,)))
