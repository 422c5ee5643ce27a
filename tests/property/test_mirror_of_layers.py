"""A surface of any outline under three layers, and its mirror image: as good from either side.

Outline, openings and members are mirrored left to right and both are seen facing, so nothing is
turned back: the layers are laid anew from the other side.
"""

from __future__ import annotations

from collections import Counter
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from tests.independent import build_up
from tests.independent.build_up import layers_behind
from tests.strategies import shapes, transforms
from tests.strategies.asking import answered
from tests.strategies.budget import FEW

Request = dict[str, Any]

MIRRORED_SIDES = ("sheathing", "wrap")
"""Kinds that are the same from either side whether or not their plans are proven."""


@st.composite
def surfaces(draw: st.DrawFn, *kinds: str) -> Request:
    """Any outline with up to two openings under layers of these kinds, all along x."""
    outline = draw(shapes.outlines())
    low, _, high, _ = shapes.bounds(outline)
    spacing = draw(st.sampled_from([12, 16, 19.25, 24]))
    first = draw(st.sampled_from([spacing, 5.25, 4]))
    members = [at for k in range(60) if (at := first + k * spacing) < high - low]
    openings = [draw(inner_openings(outline))] if draw(st.booleans()) else []
    wide, long = draw(st.sampled_from([(47.875, 95.875), (48, 96), (48, 120)]))
    longer = [{"length": long + 24, "price": 39}] if draw(st.booleans()) else []
    products = {
        "sheathing": {"id": "sheathing", "form": "sheet", "width": wide, "thickness": 0.5,
                      "stock": [{"length": long, "price": 30}, *longer]},
        "wrap": {"id": "wrap", "form": "roll", "width": draw(st.sampled_from([36, 54])),
                 "stock": [{"length": draw(st.sampled_from(["20 ft", "50 ft"])), "price": 20}]},
        "boarding": {"id": "boarding", "form": "board", "profile": "tongue_and_groove",
                     "overall": 5.375, "coverage": 5.125, "tongue": 0.25, "groove_depth": 0.25,
                     "thickness": 0.75,
                     "stock": [{"length": 96, "price": 9}, {"length": 144, "price": 14}]},
    }  # fmt: skip
    layers = [{"kind": kind, "product": kind, "direction": 0} for kind in kinds]
    return {
        "unit": "in",
        "surfaces": [
            {"id": "porch", "type": "ceiling", "view": "facing", "outline": outline,
             "openings": openings, "layers": layers,
             "supports": {"direction": 90, "at": members, "thickness": 1.5}}
        ],
        "products": [products[kind] for kind in kinds],
        "when_blocked": "relax",
    }  # fmt: skip


@st.composite
def inner_openings(draw: st.DrawFn, outline: shapes.Points) -> Request:
    """A rectangle about a point within the outline."""
    at = Polygon(outline).representative_point()
    wide, high = draw(st.integers(4, 30)), draw(st.integers(4, 30))
    return {
        "id": "hatch",
        "rectangle": [round(at.x) - wide / 2, round(at.y) - high / 2, wide, high],
    }


def mirrored(request: Request) -> Request:
    """The same surface as a mirror shows it, measured facing it."""

    def change(surface: Request) -> Request:
        low, _, high, _ = shapes.bounds(surface["outline"])
        turned = transforms.carried(surface, lambda x, y: (low + high - x, y))
        members = [high - low - at for at in reversed(surface["supports"]["at"])]
        return turned | {"supports": surface["supports"] | {"at": members}}

    return transforms.reshaped(request, change)


def figures(answer: Request, layer: str) -> Request:
    """What a mirror leaves as it is: counts, cost, areas and fasteners of one layer."""
    (plan,) = (row for row in answer["cut_plans"] if row["product"] == layer)
    return {
        "cost": plan["cost"],
        "bought": sorted((row["length"], row["need"], row["buy"]) for row in answer["order"]
                         if row["product"] == layer),
        "pieces": Counter(row["course"] for row in answer["pieces"] if row["layer"] == layer),
        "joints": Counter(row["course"] for row in answer["joints"] if row["layer"] == layer),
        "fasteners": sum(row["count"] for row in answer["fasteners"] if row["layer"] == layer),
    }  # fmt: skip


def proven(answer: Request, layer: str) -> bool:
    """Whether the plan of a layer is shown to be the least."""
    return any(row["product"] == layer and row["optimal"] for row in answer["cut_plans"])


def areas(answer: Request) -> list[Request]:
    """The areas of every surface and layer."""
    rows = [*answer["surfaces"], *answer["layers"]]
    return [{k: round(v, 2) for k, v in row.items() if isinstance(v, float)} for row in rows]


def _directionless(rows: list[Request]) -> list[Request]:
    return [{key: value for key, value in row.items() if key != "direction"} for row in rows]


@FEW
@given(request=surfaces("sheathing", "wrap", "boarding"))
def test_three_layers_are_as_good_seen_from_either_side(request: Request) -> None:
    """Proven: the same counts, cost and fasteners. Always: the same areas, and sound layers."""
    one, other = answered(request), answered(mirrored(request))
    assert _directionless(areas(one)) == _directionless(areas(other))
    for answer, asked in ((one, request), (other, mirrored(request))):
        assert faults(asked, answer) == []
    for layer in MIRRORED_SIDES:
        assert figures(one, layer) == figures(other, layer)
    if proven(one, "boarding") and proven(other, "boarding"):
        boards = [figures(answer, "boarding") for answer in (one, other)]
        assert boards[0]["cost"] == boards[1]["cost"]


def faults(request: Request, answer: Request) -> list[str]:
    """What whole polygons, the saw and the ledger say against the layers behind the boards."""
    found = [
        *build_up.sheets_sawn_faults(request, answer),
        *build_up.ledger_faults(request, answer),
    ]
    for layer in layers_behind(request, answer, "sheathing"):
        found += build_up.sheet_layer_faults(layer)
    return found


@FEW
@given(request=surfaces("sheathing"))
def test_a_mirror_image_of_sheets_is_laid_as_the_mirror_image(request: Request) -> None:
    """Every piece lies where its image does: not only as many, but the same ones."""
    low, _, high, _ = shapes.bounds(request["surfaces"][0]["outline"])
    pieces = [
        sorted((row["course"], round(row["from"], 2), round(row["to"], 2), row["width"])
               for row in answered(asked)["pieces"])
        for asked in (request, mirrored(request))
    ]  # fmt: skip
    image = sorted((course, round(high - low - to, 2), round(high - low - start, 2), width)
                   for course, start, to, width in pieces[1])  # fmt: skip
    assert len(image) == len(pieces[0])
    for own, seen in zip(pieces[0], image, strict=True):
        assert all(abs(a - b) < 0.07 for a, b in zip(own, seen, strict=True))
