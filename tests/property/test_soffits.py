"""A strip set into a soffit parts its boards into two fields, each laid by itself (3.18).

Where things lie is cut out of the outline by a second way: bands between two distances from the
outer edge.
"""

from __future__ import annotations

import copy
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from service.compute import SVG, Picked
from service.products.registry import nouns
from service.report.printout.written import printout
from tests.independent import any_kind, drawn
from tests.strategies import kinds, soffits, transforms
from tests.strategies.asking import answered, body_of, in_forms, refused
from tests.strategies.budget import FEW, LAW
from tests.strategies.requests import changed

Request = dict[str, Any]

LAYER = "/surfaces/0/layers/0"


def band(request: Request, near: float, far: float) -> Polygon:
    """What of the outline lies between two distances from its outer edge, along x at 0."""
    (area,) = request["surfaces"]
    return Polygon(area["outline"]).intersection(box(-1, near, 1000, far))


@LAW
@given(request=soffits.vented())
def test_the_strip_lies_where_it_was_set_and_boards_beside_its_slot(request: Request) -> None:
    """Ledgers close; pieces of strip are its band, and no board lies in its slot."""
    found = answered(request)
    assert any_kind.faults(request, found) == []
    off, wide, flange = soffits.sizes_of(request)
    own = band(request, off, off + wide)
    pieces = unary_union(list(drawn.pieces(found, "loft", "vent").values()))
    assert pieces.symmetric_difference(own).area == pytest.approx(0, abs=0.01)
    boards = unary_union(list(drawn.pieces(found, "loft", "boards").values()))
    slot = band(request, off + flange, off + wide - flange)
    assert boards.intersection(slot).area == pytest.approx(0, abs=0.01)
    gap = 0 if flange else 1 / 8  # none under a flange, beside a strip without one a bare edge's
    beside = band(request, off + flange - gap, off + wide - flange + gap).difference(slot)
    assert boards.intersection(beside).area == pytest.approx(0, abs=0.01)
    assert boards.distance(slot) == pytest.approx(gap, abs=1 / 32)


@LAW
@given(request=soffits.vented())
def test_free_area_is_the_middle_of_the_strip_times_what_its_sheet_gives(request: Request) -> None:
    off, wide, _ = soffits.sizes_of(request)
    (total,) = answered(request | {"effort": "quick"})["trim_totals"]
    middle = band(request, off, off + wide).area / wide
    assert total["free_area"] * 144 == pytest.approx(middle / 12 * soffits.RATE, rel=1e-5)
    assert total["free_area_asked"] is None


@FEW
@given(request=soffits.vented(along=True), side=st.sampled_from(["low", "high"]))
def test_two_fields_are_laid_as_two_soffits(request: Request, side: str) -> None:
    """Each from its own outer edge, with the strip's edges as those of a soffit (3.18)."""
    off, wide, flange = soffits.sizes_of(request)
    request = changed(request, "/surfaces/0/layers/1/start_side", side)
    found = answered(request)
    (area,) = request["surfaces"]
    beside = {"is": "covered", "gap": 0} if flange else {"is": "bare"}
    rooms = []
    for near, far, number in (
        (0, off + flange, 2),
        (off + wide - flange, area["outline"][2][1], 0),
    ):
        ring = [list(at) for at in band(request, near, far).exterior.coords[:-1]]
        rooms.append(answered(request | {"surfaces": [_alone(area, ring, number, beside)]}))
    rooms = rooms if side == "low" else rooms[::-1]
    widths = [row["width"] for room in rooms for row in room["courses"]]
    assert [row["width"] for row in found["courses"]] == pytest.approx(widths, abs=1e-4)
    assert sorted({row["bay"] for row in found["courses"]}) == [1, 2]


def _alone(area: Request, ring: list[list[float]], number: int, beside: Request) -> Request:
    """A field as a soffit of its own: corners from the lowest on, so that edges are numbered."""
    low = min(range(len(ring)), key=lambda k: (ring[k][1], ring[k][0]))
    ring = ring[low:] + ring[:low]
    if Polygon(ring).exterior.is_ccw is False:
        ring = [ring[0], *ring[:0:-1]]
    slanted = [k for k in (1, 3) if abs(ring[k][0] - ring[(k + 1) % 4][0]) > 1e-9]
    edges = [{"edge": k, "is": "mitre"} for k in slanted] + [{"edge": number} | beside]
    return area | {"outline": ring, "edges": edges, "layers": area["layers"][1:]}


@FEW
@given(request=soffits.vented(along=False))
def test_lines_of_boards_across_run_on_beyond_the_strip(request: Request) -> None:
    """Courses are those of the soffit without a strip, and no piece crosses the slot."""
    found = answered(request)
    plain = copy.deepcopy(request)
    del plain["surfaces"][0]["layers"][0]
    plain["products"] = plain["products"][:1]
    widths = [row["width"] for row in answered(plain)["courses"]]
    assert [row["width"] for row in found["courses"]] == pytest.approx(widths, abs=1e-4)
    assert {row["bay"] for row in found["courses"]} == {None}


@FEW
@given(request=soffits.vented(along=True))
def test_the_mirror_image_takes_as_much(request: Request) -> None:
    """Of strip and of boards across, with its ends the other way round."""
    (area,) = request["surfaces"]
    reach = max(x for x, _ in area["outline"])
    mirrored = copy.deepcopy(request)
    ring = [[reach - x, y] for x, y in area["outline"]]
    mirrored["surfaces"][0]["outline"] = [ring[1], ring[0], ring[3], ring[2]]
    for edge in mirrored["surfaces"][0]["edges"]:
        edge["edge"] = 4 - edge["edge"]
    one, other = answered(request), answered(mirrored)
    for key in ("length", "free_area"):  # its pieces are joined on lookouts, which stay
        assert one["trim_totals"][0][key] == pytest.approx(other["trim_totals"][0][key])
    widths = [[row["width"] for row in found["courses"]] for found in (one, other)]
    assert widths[0] == pytest.approx(widths[1], abs=1e-3)


@FEW
@given(request=soffits.vented())
def test_millimetres_change_nothing_but_the_figures(request: Request) -> None:
    inches = request | {"rules": {"cut_to": 0.0625}}
    one, other = answered(inches), answered(transforms.in_millimetres(inches))
    (inch,), (mm,) = one["trim_totals"], other["trim_totals"]
    assert inch["cut"] * 25.4 == pytest.approx(mm["cut"], abs=1e-3)
    assert inch["free_area"] * 0.09290304 == pytest.approx(mm["free_area"], rel=1e-5)
    widths = [[row["width"] for row in found["courses"]] for found in (one, other)]
    assert [width * 25.4 for width in widths[0]] == pytest.approx(widths[1], abs=0.01)


def soffit(**layer: Any) -> Request:
    """A soffit of 120 x 24 in with a strip 5 in from its outer edge."""
    area = {"id": "loft", "type": "soffit", "view": "facing", "rectangle": [120, 24],
            "supports": {"direction": 90, "spacing": 16, "first": 8}}  # fmt: skip
    vent = {"id": "vent", "kind": "trim", "product": "vent", "edges": [0], "from_edge": 5}
    return {"unit": "in", "surfaces": [area | {"layers": [vent | layer]}],
            "products": [soffits.strip(2.625, 0.375)]}  # fmt: skip


def test_a_strip_of_ten_feet_gives_ninety_square_inches_of_ninety_one() -> None:
    """120 in of 9 sq in a foot: compared with what is asked, and nothing advised."""
    enough, short = (answered(soffit(free_area=asked)) for asked in (90, 91))
    (row,) = enough["trim_totals"]
    assert (row["free_area"] * 144, row["free_area_asked"] * 144) == pytest.approx((90, 90))
    told = [[one["code"] for one in found["findings"]] for found in (enough, short)]
    assert [("free-area-short" in codes) for codes in told] == [False, True]


def test_what_a_strip_without_a_sheet_gives_is_not_known() -> None:
    request = soffit(free_area="0.5 ft2")
    del request["products"][0]["free_area"]
    found = answered(request)
    assert "free-area-unknown" in {row["code"] for row in found["findings"]}
    assert found["trim_totals"][0]["free_area"] is None
    assert found["trim_totals"][0]["free_area_asked"] == 0.5


def test_metric_vents_are_read_in_square_millimetres() -> None:
    """3 m of 19 000 mm2 a metre: 57 000 mm2, that is 0.057 m2."""
    request = soffit() | {"unit": "mm"}
    request["surfaces"][0] |= {"rectangle": [3000, 600]}
    request["surfaces"][0]["supports"] |= {"spacing": 400, "first": 200}
    request["surfaces"][0]["layers"][0] |= {"from_edge": 120, "free_area": 60_000}
    request["products"][0]["free_area"] = 19_000
    found = answered(request)
    (row,) = found["trim_totals"]
    assert (row["free_area"], row["free_area_asked"]) == pytest.approx((0.057, 0.06))
    (text,) = (one["text"] for one in found["findings"] if one["code"] == "free-area-short")
    assert "57,000 mm2" in text
    assert "60,000 mm2" in text


def test_sticks_of_a_butted_strip_are_used_from_end_to_end() -> None:
    """192 in from two of 8 ft, butted on the lookout at 96; squared first it takes three (17.2)."""
    request = changed(soffit(), "/surfaces/0/rectangle", [192, 24])
    request["surfaces"][0]["supports"]["first"] = 16
    assert [row["pieces"] for row in answered(request)["trim_totals"]] == [2]
    assert len(answered(request)["sticks"]) == 2
    squared = changed(request, f"{LAYER}/rules", {"start_trim": 0.5})
    assert len(answered(squared)["sticks"]) == 3


@pytest.mark.parametrize(
    ("pointer", "value", "code", "at"),
    [
        (f"{LAYER}/from_edge", 23, "strip-beyond-surface", f"{LAYER}/from_edge"),
        (f"{LAYER}/from_edge", 60, "strip-beyond-surface", f"{LAYER}/from_edge"),
        ("/products/0/flange", 1.5, "flange-wide", "/products/0/flange"),
        ("/surfaces/0/openings", [{"id": "lamp", "circle": [60, 9, 4]}], "strip-meets-opening",
         "/surfaces/0/openings/0"),
    ],
)  # fmt: skip
def test_a_strip_that_cannot_lie_there_is_refused(
    pointer: str, value: Any, code: str, at: str
) -> None:
    kind, (fault, *_) = refused(changed(soffit(), pointer, value))
    assert (kind, fault["code"], fault["pointer"]) == ("TradeRefused", code, at)


def test_a_strip_set_in_after_the_boards_is_told() -> None:
    """They run on behind it: it must come before."""
    request = soffit()
    boards = {"id": "boards", "kind": "boarding", "product": "pine", "direction": 0}
    request["surfaces"][0]["layers"].insert(0, boards)
    request["products"].append(
        {"id": "pine", "form": "board", "profile": "square_edge", "overall": 3.5,
         "thickness": 0.75, "stock": [{"length": "12 ft"}]}
    )  # fmt: skip
    assert "strip-over-layers" in {row["code"] for row in answered(request)["findings"]}


def test_two_strips_part_a_soffit_in_three() -> None:
    """Along both long edges of 24 in: fields of 5, 8.75 and 5 in beside slots of 1.875 in."""
    request = soffit()
    vent = request["surfaces"][0]["layers"][0]
    boards = {"id": "boards", "kind": "boarding", "product": "pine", "direction": 0}
    other = vent | {"id": "back", "edges": [2]}
    request["surfaces"][0]["layers"] = [vent, other, boards]
    request["products"].append(
        {"id": "pine", "form": "board", "profile": "square_edge", "overall": 2.5,
         "thickness": 0.75, "stock": [{"length": "12 ft"}]}
    )  # fmt: skip
    found = answered(request)
    assert sorted({row["bay"] for row in found["courses"]}) == [1, 2, 3]
    laid = math.fsum(row["width"] for row in found["courses"])
    assert laid == pytest.approx(24 - 2 * 1.875 - 2 * 0.5)


@pytest.mark.parametrize("view", ["facing", "plan"])
def test_the_line_of_a_strip_is_snapped_from_what_its_edge_lies_beside(view: str) -> None:
    """By the name of the edge, whichever way the surface is seen; without one by where it lies."""
    (example,) = kinds.files("examples", "soffit.json")
    request = kinds.request_of(example)
    for area in request["surfaces"]:
        area["view"] = view
    assert printed(request).count('Snap a line 5" from "fascia"') == 2
    for area in request["surfaces"]:
        area["edges"] = [one for one in area["edges"] if "beside" not in one]
    for side in ("bottom", "right" if view == "facing" else "left"):
        assert printed(request).count(f'Snap a line 5" from the {side} edge') == 1


def test_the_page_of_boards_shows_the_strip_that_parts_them() -> None:
    (example,) = kinds.files("examples", "soffit.json")
    body = body_of(kinds.request_of(example))
    forms = [Picked(SVG, surface="front", layer=layer) for layer in ("boards", "cove", None)]
    boards, cove, every = (found.body.decode() for found in in_forms(body, forms))
    assert (boards.count("vent, set in"), cove.count("vent, set in")) == (1, 0)
    assert every.count("vent, set in") == 2
    assert "vent, behind" not in every


def printed(request: Request) -> str:
    return printout(answered(request), nouns(), 100)
