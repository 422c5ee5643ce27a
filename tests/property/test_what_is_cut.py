"""What an answer says is cut of each piece accounts for its shape, read with shapely alone.

A piece is the box between its long points and its edges, less its two ends and its cutouts.
"""

from __future__ import annotations

import json
from math import radians, tan
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from service.geometry.ends import End, ends_of, from_start, square_ends
from service.geometry.rings import Polygon as Shape
from service.geometry.rings import clean
from tests.independent import drawn
from tests.independent.measure import INCH
from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered, asked
from tests.strategies.budget import LAW
from tests.strategies.build_ups import build_ups

Request = dict[str, Any]

EPSILON = 1 / 64
"""Inches up to which a leg, or a bite, counts as nothing (rule 5.2)."""


def between_its_ends(piece: drawn.Row) -> list[BaseGeometry]:
    """What the piece lacks of the box round it, less what reaches an end: that is how it is cut."""
    near, far = sorted((piece["near"], piece["far"]))
    low, high = piece["long_points"]
    missing = box(low, near, high, far).difference(drawn.in_stations(piece))
    return [
        part
        for part in drawn.parts(missing.buffer(-EPSILON / 2))
        if part.bounds[0] > low + EPSILON and part.bounds[2] < high - EPSILON
    ]


def boxes(piece: drawn.Row) -> list[BaseGeometry]:
    """The boxes round what is cut out of a piece."""
    return [
        box(one["from"], min(one["near"], one["far"]), one["to"], max(one["near"], one["far"]))
        for one in piece["cutouts"]
    ]


@given(st.one_of(jobs.with_openings(), jobs.with_near_openings(), build_ups(jobs.with_openings())))
@LAW
def test_cutouts_take_in_all_that_openings_take(request: Request) -> None:
    """Whatever a piece lacks between its ends lies in one of the boxes, and each box in it."""
    answer = answered(request)
    for piece in answer["pieces"]:
        cut = boxes(piece)
        effects = [one["effect"] for one in piece["cutouts"]]
        assert effects.count("notch") == piece["notches"]
        assert effects.count("hole") == piece["holes"]
        for part in between_its_ends(piece):
            assert any(part.within(one.buffer(EPSILON)) for one in cut), (piece["id"], part.wkt)
        near, far = sorted((piece["near"], piece["far"]))
        whole = box(piece["from"], near, piece["to"], far).buffer(1e-5)
        assert all(one.within(whole) for one in cut)


ROOM = {"rectangle": [120, 96]}
OUT = 0.25 + 0.125
"""The clearance that is asked for, and the saw gap by default (rule 5.1)."""


@pytest.mark.parametrize("kind", ["boarding", "sheathing", "wrap"])
def test_an_opening_is_cut_with_its_clearance_in_the_courses_that_it_meets(kind: str) -> None:
    """Level courses: those that lie beside it by more than nothing, whatever they are made of."""
    request = requests.job(requests.surface(ROOM), requests.board(144))
    request["products"] += [
        {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5, "stock": [{"length": 96}]},
        {"id": "roll", "form": "roll", "width": 36, "stock": [{"length": "50 ft"}]},
    ]
    area = request["surfaces"][0]
    area["openings"] = [{"id": "hatch", "rectangle": [40, 30, 24, 30], "clearance": 0.25}]
    named = {"boarding": "pine", "sheathing": "ply", "wrap": "roll"}[kind]
    area["layers"] = [{"id": "one", "kind": kind, "product": named, "direction": 0}]
    found = answered(request)
    (row,) = found["openings"]
    assert drawn.even_odd(row["drawn"]).equals(box(40, 30, 64, 60))
    cut = drawn.even_odd(row["cut"])
    assert cut.symmetric_difference(box(40 - OUT, 30 - OUT, 64 + OUT, 60 + OUT)).area < 1e-4
    spans = {one["course"]: sorted((one["near"], one["far"])) for one in found["courses"]}
    met = [k for k, (near, far) in spans.items() if near < 60 + OUT and far > 30 - OUT]
    assert row["courses"] == met
    assert 1 < len(met) <= len(spans)
    shown = drawn.pieces(found, "loft", "one").values()
    assert all(one.intersection(cut).area < 1e-3 for one in shown)


@given(jobs.jobs())
@LAW
def test_ends_are_where_the_shape_ends(request: Request) -> None:
    for piece in answered(request)["pieces"]:
        assert piece["long_points"] == [piece["from"], piece["to"]]
        shape = drawn.in_stations(piece)
        low, high = shape.bounds[0], shape.bounds[2]
        assert piece["long_points"] == pytest.approx([low, high], abs=1e-5)
        (near_low, near_high), (low, high) = piece["short_points"], piece["long_points"]
        assert low <= near_low <= high
        assert low <= near_high <= high
        for end, angle, inward in zip(
            piece["ends"], piece["end_angles"], (near_low - low, high - near_high), strict=True
        ):
            assert end == "factory" or (end == "square") == (angle == 0)
            if angle is None:
                continue
            assert abs(angle) < 90
            reach = abs(piece["far"] - piece["near"]) * tan(radians(abs(angle)))
            assert inward <= reach + 1e-3 * (1 + reach)
            assert (angle == 0) == (inward < 1e-4)


@given(shapes.outlines())
@LAW
def test_a_mirrored_shape_has_mirrored_ends(points: shapes.Points) -> None:
    """Left and right exchanged, the low end is the high one; near and far, angles are turned."""
    ring = [(round(x * INCH), round(y * INCH)) for x, y in points]
    low, high = ends_of((Shape(clean(ring)),))
    aside = ends_of((Shape(clean((-u, v) for u, v in ring)),))
    assert aside == tuple(End(-end.long, -end.short, end.angle) for end in (high, low))
    assert ends_of((Shape(clean((u, -v) for u, v in ring)),)) == from_start(
        (low, high), starts_low=False
    )


def test_an_end_round_a_hole_is_not_square() -> None:
    """Both its corners are equally far out, where the hole's middle is that of the course."""
    area = requests.surface({"rectangle": [120, 8 * requests.COVER]}, layer={"start": "full_first"})
    area["openings"] = [{"id": "pipe", "circle": [60, 2.5 * requests.COVER, 8], "cut_gap": 0}]
    found = answered(requests.job(area, requests.board(144), rules={"gap": 0}))
    low, high = (piece for piece in found["pieces"] if piece["course"] == 3)
    assert (low["end_angles"], high["end_angles"]) == ([0, None], [None, 0])
    assert (low["ends"], high["ends"]) == (["square", "shaped"], ["shaped", "square"])


def panelled(shape: Request, *openings: Request) -> Request:
    """One surface under sheets of 4 by 8 ft alone."""
    area = {
        "id": "loft",
        "type": "ceiling",
        "view": "facing",
        **shape,
        "openings": list(openings),
        "supports": {"direction": 90, "spacing": 16, "thickness": 1.5},
        "layers": [{"id": "panels", "kind": "sheathing", "product": "ply", "direction": 0}],
    }
    ply = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5, "stock": [{"length": 96}]}
    return requests.job(area, ply)  # fmt: skip


@given(
    outline=shapes.outlines(),
    hatches=st.lists(st.tuples(*[st.integers(0, 90)] * 2, *[st.integers(4, 30)] * 2), max_size=4),
)
@LAW
def test_each_end_and_each_bite_of_a_sheet_is_told_by_itself(
    outline: shapes.Points, hatches: list[tuple[int, int, int, int]]
) -> None:
    """An end is square where its cut is straight across; each opening that bites is a notch."""
    openings = [{"id": f"hatch{k}", "rectangle": list(one)} for k, one in enumerate(hatches)]
    request = panelled({"outline": [list(point) for point in outline]}, *openings)
    found = asked(request | {"when_blocked": "relax"})
    assume(found.kind == "answer")
    for piece in json.loads(found.body)["pieces"]:
        for end, angle in zip(piece["ends"], piece["end_angles"], strict=True):
            assert (end == "square") == (angle == 0)
        effects = [one["effect"] for one in piece["cutouts"]]
        assert effects.count("notch") == piece["notches"]


def test_two_bites_of_one_sheet_are_two_notches_and_a_slant_leaves_the_other_end_square() -> None:
    bites = [{"id": side, "rectangle": [at, -10, 12, 20]} for side, at in (("a", 20), ("b", 60))]
    (piece,) = answered(panelled({"rectangle": [90, 40]}, *bites))["pieces"]
    assert piece["notches"] == 2
    (piece,) = answered(panelled({"outline": [[0, 0], [90, 0], [70, 40], [0, 40]]}))["pieces"]
    assert piece["ends"] == ["square", "shaped"]


MITRE = ((0, 0), (1000, 0), (900, 100), (100, 100))
CASES = {
    "square": (((0, 0), (1000, 0), (1000, 100), (0, 100)), (0, 0, 0.0), (1000, 1000, 0.0)),
    "two mitres": (MITRE, (0, 100, -45.0), (1000, 900, -45.0)),
    "a point": (((0, 50), (100, 0), (1000, 0), (1000, 100), (100, 100)), (0, 100, None),
                (1000, 1000, 0.0)),
    "a swallow's tail": (((0, 0), (1000, 0), (1000, 100), (0, 100), (80, 50)), (0, 80, None),
                         (1000, 1000, 0.0)),
    "a notch at its end": (
        ((0, 40), (300, 40), (300, 0), (1000, 0), (1000, 100), (0, 100)), (0, 0, 0.0),
        (1000, 1000, 0.0)),
    "half of it mitred": (((0, 0), (1000, 0), (1000, 100), (50, 100), (0, 50)), (0, 50, None),
                          (1000, 1000, 0.0)),
    "a triangle": (((0, 0), (300, 0), (100, 100)), (0, 100, -45.0), (300, 100, -63.435)),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_ends_by_hand(name: str) -> None:
    """Angles by the tangent: 100 along for 100 across is 45 degrees, 200 for 100 is 63.435."""
    ring, low, high = CASES[name]
    found = ends_of((Shape(clean((x * 1000, y * 1000) for x, y in ring)),))
    assert found == tuple(End(long * 1000, short * 1000, a) for long, short, a in (low, high))


def test_ends_of_a_box_are_square() -> None:
    ring = clean([(0, 0), (9, 0), (9, 5), (0, 5)])
    assert ends_of((Shape(ring),)) == square_ends(0, 9)


def test_the_far_edge_is_the_one_away_from_the_start() -> None:
    ends = ends_of((Shape(clean((x * 1000, y * 1000) for x, y in MITRE)),))
    turned = from_start(ends, starts_low=False)
    assert [end.angle for end in turned] == [45.0, 45.0]
    assert from_start(ends, starts_low=True) == ends
