"""Regions keep their area and have no parts that only snapping made, however they lie."""

from __future__ import annotations

import itertools
import random
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from service.geometry.frame import frame_of
from service.geometry.holes import holes_of
from service.geometry.offsets import grown, shrunk
from service.geometry.openings import Opening
from service.geometry.plane import (
    clip_to_boxes,
    difference,
    intersection,
    union,
)
from service.geometry.rings import (
    Box,
    Polygon,
    Region,
    Ring,
    bounds,
    circle,
    clean,
    rectangle,
    twice_area,
)
from service.geometry.slope import Slope, stretched
from service.geometry.strips import in_strips, levelled, refined
from service.units.ticks import INCH
from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import LAW

Request = dict[str, Any]

SHARP = 1e6
"""No limit of how far a mitre of the reference may reach."""


def ring_of(points: shapes.Points) -> Ring:
    """Corners in inches as a ring in ticks."""
    return clean((round(x * INCH), round(y * INCH)) for x, y in points)


def shape_of(region: Region) -> shapely.Geometry:
    """A region as the reference library has it."""
    return shapely.union_all([shapely.Polygon(p.outer, p.holes) for p in region])


SEEDS = pytest.mark.parametrize("seed", range(4))


@SEEDS
def test_an_inset_is_what_an_offset_leaves(seed: int) -> None:
    """Its area is that of the library's own mitred offset, in as many parts, to a few ticks."""
    for points in shapes.seeded_irregular(seed):
        ring = ring_of(points)
        true = shapely.Polygon(ring).buffer(-INCH // 2, join_style="mitre", mitre_limit=SHARP)
        found, give = shrunk(ring, INCH // 2), 4 * shapely.Polygon(ring).length
        assert shape_of(found).symmetric_difference(true).area <= give, points
        parts = [part for part in shapely.get_parts(true) if part.area > give]
        assert len(found) == len(parts), points


@SEEDS
def test_growing_covers_all_and_leaves_no_seam(seed: int) -> None:
    """A grown outline is one part without a hole, and holds the outline."""
    for points in shapes.seeded_irregular(seed):
        ring = ring_of(points)
        (found,) = grown(ring, INCH // 2)
        assert not found.holes, points
        assert shape_of((found,)).covers(shapely.Polygon(ring)), points


@LAW
@given(diameter=st.integers(INCH, 40 * INCH), stretch=st.floats(1, 1.5), by=st.integers(1, INCH))
def test_a_curve_grows_without_new_corners(diameter: int, stretch: float, by: int) -> None:
    """A round opening, in a slope an ellipse, is the library's own mitred offset to a few ticks."""
    ring = clean((x, round(y * stretch)) for x, y in circle(0, 0, diameter))
    (found,) = grown(ring, by)
    assert len(found.outer) <= len(ring)
    true = shapely.Polygon(ring).buffer(by, join_style="mitre", mitre_limit=SHARP)
    assert shapely.Polygon(found.outer).hausdorff_distance(true) <= 2


BOXES = st.tuples(*[st.integers(-9, 9)] * 4).map(
    lambda at: (min(at[:2]), max(at[:2]) + 1, min(at[2:]), max(at[2:]) + 1)
)
"""Low, high, near and far of an upright rectangle."""


def upright(box: Box) -> Region:
    """The region of a box."""
    low, high, near, far = box
    return (Polygon(rectangle(low, near, high, far)),)


@LAW
@given(boxes=st.lists(BOXES, min_size=1, max_size=3), other=BOXES)
def test_boxes_are_cut_as_the_library_cuts_them(boxes: list[Box], other: Box) -> None:
    """Union, what is shared and what is left, and the part in each box: to the tick."""
    region, taken = union(map(upright, boxes)), upright(other)
    ours, theirs = shape_of(region), shape_of(taken)
    assert shape_of(intersection(region, taken)).equals(ours.intersection(theirs).buffer(0))
    assert shape_of(difference(region, taken)).equals(ours.difference(theirs))
    assert shape_of(difference(taken, region)).equals(theirs.difference(ours))
    clips = clip_to_boxes(taken, boxes)
    for box, clip in zip(boxes, clips, strict=True):
        assert shape_of(clip).equals(shape_of(upright(box)).intersection(theirs).buffer(0))


@SEEDS
@pytest.mark.parametrize("direction", [0, 30, 45, 90, Fraction(1447, 10)])
def test_strips_of_any_outline_lose_nothing(seed: int, direction: Fraction) -> None:
    """All strips together are the region as refined, to the half square tick."""
    for points in shapes.seeded_irregular(seed, 80):
        ring = ring_of(points)
        region = frame_of(ring, Fraction(direction)).region(shrunk(ring, INCH // 2))
        _, _, low, high = bounds(region)
        lines = list(range(low, high + 4 * INCH, 4 * INCH - 63))
        cut = refined(region, lines, axis=1)
        parts = in_strips(cut, list(pairwise(lines)))
        assert sum(twice_area(part) for part in parts) == twice_area(cut), points


def convex(points: shapes.Points) -> Request:
    """A job of boards over an outline without inner corners."""
    layer = {"direction": 90, "joints": "anywhere", "rules": {"min_run": 0}}
    area = requests.outline(points, behind=requests.supports(direction=0), layer=layer,
                            backing={"thickness": 0.5})  # fmt: skip
    return requests.job(area, requests.board("30 ft"), when_blocked="relax", effort="quick")


@LAW
@given(points=shapes.stepped(), off=st.lists(st.integers(-9, 9), min_size=1, max_size=6),
       axis=st.sampled_from([0, 1]))  # fmt: skip
def test_corners_beside_a_line_are_put_on_it(
    points: shapes.Points, off: list[int], axis: int
) -> None:
    """Up to 4 ticks off, however an outline lies; no other corner is moved."""
    ring = ring_of(points)
    lines = sorted({at[axis] for at in ring})
    (moved,) = levelled((Polygon(ring),), [line + off[k % len(off)] for k, line in
                                           enumerate(lines)], axis, 4)  # fmt: skip
    shift = {line: move if abs(move) <= 4 else 0
             for line, move in zip(lines, itertools.cycle(off), strict=False)}  # fmt: skip
    assert moved.outer == tuple(
        (*at[:axis], at[axis] + shift[at[axis]], *at[axis + 1 :]) for at in ring
    )


@LAW
@given(points=shapes.turned(st.one_of(shapes.out_of_square(), shapes.needles())))
def test_a_room_without_inner_corners_has_one_run_a_course(points: shapes.Points) -> None:
    """A straight strip meets a convex outline once: a second run would be an artefact."""
    answer = answered(convex(points))
    courses = [row["course"] for row in answer["runs"]]
    assert len(courses) == len(set(courses))


@LAW
@given(points=shapes.out_of_square())
def test_rips_are_those_of_the_room_within_its_gaps(points: shapes.Points) -> None:
    """The courses share the width of the inset outline across them, to a sixty-fourth.

    But for a strip beyond a whole course that is not laid, since a covered gap takes it (3.1).
    """
    answer = answered(convex(points))
    taken = sum(row["code"].startswith("gap-takes-") for row in answer["findings"])
    inset = shapely.Polygon(ring_of(points)).buffer(-INCH // 2, join_style="mitre",
                                                    mitre_limit=SHARP)  # fmt: skip
    basis = {row["key"]: row["value"] for row in answer["basis"]}
    if "direction_used" not in basis:
        x0, _, x1, _ = inset.bounds
        faces = sum(row["width"] for row in answer["courses"])
        short = (x1 - x0) / INCH - faces
        assert -1 / 64 - 0.001 <= short <= 1 / 64 + 0.001 + taken / 8


@LAW
@given(request=jobs.with_near_openings())
def test_near_openings_merge_on_any_slope(request: Request) -> None:
    """Every such job is answered, and what was bought is in its accounts to the last tick."""
    answer = answered(request)
    bought = sum(row["buy"] * round(row["length"] * INCH) for row in answer["order"])
    accounts = sum(int(row["half_square_ticks"]) for row in answer["ledger"])
    assert accounts == 2 * bought * round(requests.OVERALL * INCH)


def opening_of(
    name: str, points: shapes.Points, out: int = INCH // 8, slope: Slope | None = None
) -> Opening:
    """An opening in true size, cut `out` wider."""
    ring = stretched(ring_of(points), slope)
    return Opening(name, (Polygon(ring),), grown(ring, out), 0, out, False, "")


@SEEDS
def test_holes_cover_their_openings_whatever_lies_between(seed: int) -> None:
    """Merged or not, what is cut holds every opening, and nothing that is not between them."""
    draw, apart = random.Random(seed), 3 * INCH // 4
    made = shapes.seeded_irregular(seed, 600)
    for one, other in zip(made[::2], made[1::2], strict=True):
        by = draw.uniform(-16, 16), draw.uniform(-14, 14)
        moved = [[x / 12 + by[0], y / 12 + by[1]] for x, y in other]
        openings = [opening_of("a", [[x / 12, y / 12] for x, y in one]), opening_of("b", moved)]
        cut = shape_of(tuple(part for hole in holes_of(openings, apart) for part in hole.cut))
        both = shapely.union_all([shape_of(opening.cut) for opening in openings])
        assert both.difference(cut).area <= 4 * both.length
        assert cut.difference(shapely.convex_hull(both)).area <= 4 * both.length


@SEEDS
def test_what_lies_between_near_openings_is_found_on_any_slope(seed: int) -> None:
    """A triangle beside a rectangle, stretched by a slope that runs askew to both."""
    draw, apart = random.Random(seed), 3 * INCH // 4
    for triangle in shapes.seeded_irregular(seed, 600)[::2]:
        aside = draw.choice([0.5**0.5, 1, 0.5])
        pitch = Fraction(draw.randint(1, 12), 12)
        slope = Slope(pitch, (aside, (1 - aside**2) ** 0.5))
        x, y = draw.uniform(8, 16), draw.uniform(-2, 8)
        corners = [[0, 0], [12.75, 6], [0, 12]]
        if draw.random() < 0.5:
            corners = [[a / 16, b / 16] for a, b in triangle[:3]]
        box = [[x, y], [x + 12, y], [x + 12, y + 32], [x, y + 32]]
        one = opening_of("a", corners, INCH, slope)
        other = opening_of("b", box, draw.choice([1, 3]) * INCH, slope)
        cut = shape_of(tuple(p for hole in holes_of([one, other], apart) for p in hole.cut))
        both = shapely.union_all([shape_of(one.cut), shape_of(other.cut)])
        assert both.difference(cut).area <= 4 * both.length
        assert cut.difference(shapely.convex_hull(both)).area <= 4 * both.length


@LAW
@given(
    rows=st.integers(3, 8),
    step=st.integers(1, 7),
    off=st.sampled_from([0, 0, 1 / 64, -1 / 64, 2.5]),
    side=st.sampled_from([1, -1]),
)
def test_a_step_at_a_course_edge_leaves_no_run_of_its_own(
    rows: int, step: int, off: float, side: int
) -> None:
    """A wall steps where a course ends: as many runs in each course however the plan is turned."""
    high, at = 1 + (rows + 1) * 5.125, 1 + min(step, rows) * 5.125 + off
    plan = [[0, 0], [190, 0], [190, at], [130, at], [130, high], [0, high]]
    found = {}
    for angle in shapes.ANGLES[:5]:
        ring = [shapes.carried(point, angle, side) for point in plan]
        request = requests.job(jobs.turned_surface(ring, angle, side), requests.board("24 ft"))
        runs = answered(request | {"when_blocked": "relax", "effort": "quick"})["runs"]
        found[angle] = sorted(run["course"] for run in runs)
    assert len({tuple(courses) for courses in found.values()}) == 1, found
