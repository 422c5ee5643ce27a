"""Whoever knows the JSON answer alone can draw every layer as the service's own drawing has it.

Tolerance: the drawing writes paper millimetres to three decimals, so a corner lies within 0.0005 mm
of its place either way, and so does the corner that the scale is taken from: 0.002 mm on paper
covers both and what six decimals of the caller's unit round.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import assume, given
from shapely.affinity import affine_transform
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from service.compute import SVG, Picked, answer
from tests.independent import drawn
from tests.strategies.asking import body_of, taken_off_once
from tests.strategies.budget import examples
from tests.strategies.build_ups import build_ups
from tests.strategies.requests import Request, board

NAMES = "{http://www.w3.org/2000/svg}"
WITHIN = 0.002
"""Millimetres on paper."""


@dataclass(frozen=True)
class Page:
    """A page of the drawing on which a surface is whole: areas in paper millimetres, y up."""

    outline: Polygon
    pieces: list[BaseGeometry]
    openings: list[BaseGeometry]
    members: list[LineString]


def _shape(path: ElementTree.Element) -> BaseGeometry:
    rings = []
    for part in re.findall(r"M([^Z]*)Z", path.attrib["d"]):
        numbers = [float(text) for text in re.findall(r"-?[\d.]+", part)]
        rings.append([(x, -y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)])
    return drawn.even_odd(rings)


def _line(part: ElementTree.Element) -> LineString:
    x1, y1, x2, y2 = (float(part.attrib[name]) for name in ("x1", "y1", "x2", "y2"))
    return LineString([(x1, -y1), (x2, -y2)])


def page_of(svg: bytes) -> Page | None:
    """The one page of a drawing; None where it breaks the surface into lengths."""
    root = ElementTree.fromstring(svg)

    def group(name: str) -> list[ElementTree.Element]:
        found = root.findall(f".//{NAMES}g[@class='{name}']")
        return [part for one in found for part in one]

    outlines = [_shape(path) for path in group("outline")]
    if len(outlines) != 1:
        return None
    (outline,) = outlines
    assert isinstance(outline, Polygon)
    return Page(
        outline,
        [_shape(path) for path in group("pieces")],
        [_shape(path) for path in group("openings")],
        [_line(part) for part in group("members")],
    )


def on_paper(area: BaseGeometry, inside: BaseGeometry, page: Page) -> BaseGeometry:
    """What the client drew, put where the page has its outline."""
    x, y, right, _ = inside.bounds
    left, foot, far, _ = page.outline.bounds
    size = (far - left) / (right - x)
    return affine_transform(area, [size, 0, 0, size, left - x * size, foot - y * size])


def parts(area: BaseGeometry) -> list[BaseGeometry]:
    """The separate polygons of an area that are wide enough to be seen."""
    return [one for one in drawn.parts(area) if not one.buffer(-WITHIN).is_empty]


def unlike(ours: list[BaseGeometry], theirs: list[BaseGeometry]) -> list[BaseGeometry]:
    """Those of ours that are not drawn, each of theirs being one of ours once."""
    left = [one for one in theirs if not one.buffer(-WITHIN).is_empty]
    missing = []
    for one in ours:
        same = [k for k, other in enumerate(left) if _alike(one, other)]
        if same:
            left.pop(same[0])
        else:
            missing.append(one)
    return missing + left


def _alike(one: BaseGeometry, other: BaseGeometry) -> bool:
    """Whether what lies deeper in each area than the tolerance lies in the other."""
    if abs(one.area - other.area) > 2 * WITHIN * (one.length + other.length):
        return False
    return bool(
        one.buffer(-WITHIN).difference(other).is_empty
        and other.buffer(-WITHIN).difference(one).is_empty
    )


def compare(request: Request) -> int:
    """Hold what a client draws against the drawing; gives how many layers were compared."""
    body = body_of(request)
    with taken_off_once():
        outcome = answer(body)
        if outcome.kind != "answer":
            return 0
        told: dict[str, Any] = json.loads(outcome.body)
        layers = [(row["surface"], row["layer"]) for row in told["layers"]]
        drawings = [answer(body, Picked(SVG, *layer)) for layer in layers]
    compared = 0
    for (surface, name), drawing in zip(layers, drawings, strict=True):
        off = [row for row in drawn.joints_off_members(told, surface, name) if row[1] > 1e-4]
        assert not off
        page = page_of(drawing.body)
        if page is not None:
            _same(told, surface, name, page)
            compared += 1
    return compared


def _same(told: dict[str, Any], surface: str, name: str, page: Page) -> None:
    inside = drawn.outline(told, surface)
    assert _alike(on_paper(inside, inside, page), page.outline)
    areas = drawn.pieces(told, surface, name).values()
    ours = [part for area in areas for part in parts(on_paper(area, inside, page))]
    theirs = page.pieces
    if drawn.pick(told, "layers", surface, name)[0]["kind"] == "wrap":
        # The drawing shows openings on top of wrap that is not yet cut.
        cut = on_paper(drawn.cut(told, surface, name), inside, page)
        theirs = [part for one in theirs for part in parts(one.difference(cut))]
    assert not unlike(ours, theirs)
    _same_members(told, surface, page, inside)
    for row in drawn.pick(told, "openings", surface, name):
        _same_opening(row, page, inside)


def _same_members(told: dict[str, Any], surface: str, page: Page, inside: BaseGeometry) -> None:
    """Every line of the page lies on a member's, and every member ends where a line does."""
    ours = [
        on_paper(drawn.member_line(row), inside, page)
        for row in drawn.pick(told, "members", surface)
    ]
    for line in page.members:
        assert any(line.difference(one.buffer(2 * WITHIN)).is_empty for one in ours)
    ends = [box(*line.bounds) for line in page.members]
    for one in ours:
        if one.length > WITHIN and page.outline.buffer(-WITHIN).intersects(one):
            assert any(one.boundary.geoms[0].distance(end) <= 3 * WITHIN for end in ends)
            assert any(one.boundary.geoms[-1].distance(end) <= 3 * WITHIN for end in ends)


def _same_opening(row: drawn.Row, page: Page, inside: BaseGeometry) -> None:
    """The page has the opening as drawn, and what is cut for it takes all of that in."""
    ours = on_paper(drawn.even_odd(row["drawn"]), inside, page)
    cut = on_paper(drawn.even_odd(row["cut"]), inside, page)
    shown = [one.intersection(page.outline.buffer(WITHIN)) for one in page.openings]
    assert any(_alike(ours, one) for one in shown)
    assert ours.difference(cut.buffer(WITHIN)).is_empty


OPENINGS = [
    {"id": "duct", "rectangle": [40, 30, 20, 14], "clearance": 0.25},
    {"id": "lamp", "circle": [90, 70, 6]},
    {"id": "near_lamp", "circle": [97, 70, 6]},
    {"id": "corner", "outline": [[110, 20], [126, 24], [118, 40]]},
    {"id": "at_wall", "rectangle": [60, -4, 12, 20]},
]
SLANTED = [[0, 0], [144, 0], [120, 108], [0, 96]]
SURFACES: dict[str, Request] = {
    "slanted wall": {"outline": SLANTED},
    "seen in plan": {"outline": SLANTED, "view": "plan"},
    "sloped": {"rectangle": [144, 108], "slope": {"rise": 5, "run": 12, "up": 90}},
    "sloped, in plan": {
        "outline": SLANTED, "view": "plan", "slope": {"rise": 3, "run": 12, "up": 0}},
    "moved and level members": {
        "outline": [[x - 50, y + 31] for x, y in SLANTED],
        "supports": {"direction": 0, "spacing": 16},
        "openings": [],
    },
    "in two parts along a member": {
        "outline": [[0, 0], [144, 0], [144, 100], [100, 100], [100, 50], [44, 50], [44, 100],
                    [0, 100]],
        "supports": {"direction": 0, "spacing": 16},
        "openings": OPENINGS[:1],
    },
}  # fmt: skip


def job(surface: str, direction: float) -> Request:
    """All kinds of layers on one of the surfaces, in one direction."""
    own = SURFACES[surface]
    return {
        "unit": "in",
        "products": [
            {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5,
             "stock": [{"length": 96}]},
            {"id": "roll", "form": "roll", "width": 36, "stock": [{"length": "50 ft"}]},
            board(96, 144),
        ],
        "surfaces": [{
            "id": "loft", "supports": {"direction": 90, "spacing": 16},
            "openings": OPENINGS, **own,
            "layers": [
                {"kind": "sheathing", "product": "ply", "id": "panels",
                 **({} if direction % 90 else {"direction": direction})},
                {"kind": "wrap", "product": "roll", "id": "wrap", "direction": direction},
                {"kind": "boarding", "product": "pine", "id": "boards", "direction": direction},
            ],
        }],
        "when_blocked": "relax",
    }  # fmt: skip


@pytest.mark.parametrize("direction", [0, 30, 90, 140])
@pytest.mark.parametrize("surface", SURFACES)
def test_a_client_of_the_json_draws_what_the_drawing_shows(surface: str, direction: float) -> None:
    assert compare(job(surface, direction)) == 3


@given(build_ups())
@examples(20)
def test_any_job_can_be_drawn_from_its_json(request: Request) -> None:
    assume(compare(request))
