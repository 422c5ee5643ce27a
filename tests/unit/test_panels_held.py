"""Sheets that nothing would hold, strips, blocked edges and the least stock, worked by hand.

Common practice; each number is arithmetic on the rule beside it.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from shapely.geometry import LineString, Polygon

from tests.strategies.asking import answered, refused
from tests.strategies.requests import changed

Request = dict[str, Any]

AT_16 = {"direction": 90, "first": 16, "spacing": 16, "ends": True}


def under(shape: Request, supports: Request, openings: Any = (), **layer: Any) -> Request:
    """A surface under sheets made for gaps."""
    area = {"id": "loft", "type": "ceiling", "view": "facing", **shape, "supports": supports,
            "layers": [{"kind": "sheathing", "product": "sheet", **layer}]}  # fmt: skip
    if openings:
        area["openings"] = openings
    sheet = {"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
             "stock": [{"length": 95.875}]}  # fmt: skip
    return {"unit": "in", "surfaces": [area], "products": [sheet]}


def bought(request: Request) -> int:
    """Sheets in the order."""
    return sum(row["buy"] for row in answered(request)["order"])


def along_edges(request: Request) -> int:
    """Nails along edges that blocks carry."""
    rows = answered(request)["fasteners"]
    return sum(row["count"] for row in rows if row["where"] == "long edge")


@pytest.mark.parametrize(("length", "width", "sheets"), [(216, 144, 7), (312, 144, 10)])
def test_the_joints_are_those_that_need_the_least_stock(
    length: int, width: int, sheets: int
) -> None:
    """Three rows of 2-1/4 and of 3-1/4 sheets; four quarters come from one (11.5).

    The area alone asks for as many, so no fewer would do.
    """
    assert -(-length * width // (48 * 96)) == sheets
    assert bought(under({"rectangle": [length, width]}, AT_16)) == sheets


def test_sheets_with_no_member_behind_are_refused() -> None:
    """A member at 200 in is no member of a surface of 14 in; one within it is."""
    request = under({"rectangle": [14, 48]}, {"direction": 90, "at": [200]})
    _, (fault,) = refused(request)
    assert (fault["code"], fault["pointer"]) == ("no-member-behind", "/surfaces/0/supports")
    answered(changed(request, "/surfaces/0/supports/at", [0.75, 13.25]))


def test_a_sheet_on_one_member_is_said() -> None:
    request = under({"rectangle": [20, 48]}, {"direction": 90, "at": [10]})
    codes = [row["code"] for row in answered(request)["findings"]]
    assert codes.count("piece-unheld") == 1
    held = changed(request, "/surfaces/0/supports/at", [0.75, 10, 19.25])
    assert "piece-unheld" not in [row["code"] for row in answered(held)["findings"]]


def test_the_last_row_along_members_is_no_sliver_where_a_member_lets_its_seam_move() -> None:
    """104 in: seams at 48 and 96 leave 7-7/8 in; at 80 the last row has 23-7/8 in (11.4)."""
    answer = answered(under({"rectangle": [104, 90]}, AT_16, direction=90))
    assert [row["width"] for row in answer["courses"]] == [47.875, 31.875, 23.875]
    assert "strip-narrow" not in [row["code"] for row in answer["findings"]]


def test_a_sliver_that_no_member_lets_move_is_said() -> None:
    """100 in on members 48 in apart: 100 - 96 less two gaps of 1/16 in."""
    members = {"direction": 90, "at": [0.75, 48, 96, 99.25]}
    answer = answered(under({"rectangle": [100, 90]}, members, direction=90))
    (row,) = (row for row in answer["findings"] if row["code"] == "strip-narrow")
    assert (row["measure"], row["limit"]) == (100 - 96 - 2 * 0.0625, 12)


def test_what_is_less_than_a_gap_stays_open_at_the_wall() -> None:
    """96.1 in with 1/16 in at walls: beyond two rows 0.1 in are left, less than a gap.

    A seam on the member at 96 would leave a third row less than nothing.
    """
    members = {"direction": 90, "at": [0.75, 48, 96]}
    rows = answered(under({"rectangle": [96.1, 90]}, members, direction=90))["courses"]
    assert [row["width"] for row in rows] == [47.875, 47.875]
    assert rows[1]["far"] == 95.9375


def test_ends_that_meet_on_blocks_are_nailed_to_them() -> None:
    """Each end has 9 points in 48 in, of which the 4 members that it crosses have theirs (18.7)."""
    request = under({"rectangle": [144, 240]}, AT_16, direction=90)
    answer = answered(request)
    joints = len(answer["joints"])
    assert joints > 0
    assert {row["on"] for row in answer["joints"]} == {"block"}
    assert along_edges(request) == joints * 2 * (9 - 4)


def test_no_nails_along_a_blocked_edge_where_an_opening_takes_it() -> None:
    """Two ends of 17-3/4 in keep 4 - 2 nails each, the other edge its 17 - 7 (18.7, 18.8)."""
    hatch = [{"id": "hatch", "rectangle": [18, -6, 60, 30]}]
    request = under({"rectangle": [96, 48]}, AT_16, edges="blocked")
    assert along_edges(request) == 2 * (17 - 7)
    assert along_edges(changed(request, "/surfaces/0/openings", hatch)) == 2 * (4 - 2) + (17 - 7)


def test_a_sheet_sawn_to_a_point_has_one_long_edge() -> None:
    """A triangle of 96 by 48 in: 17 points along its foot, 7 of them on members (18.7)."""
    gable = {"outline": [[0, 0], [96, 0], [0, 48]]}
    assert along_edges(under(gable, AT_16, edges="blocked")) == 17 - 7


@pytest.mark.parametrize("degrees", [45, 30, 120])
def test_members_at_a_slant_are_nailed_over_all_their_length(degrees: int) -> None:
    """A 48 x 96 in sheet over slanting members at 16 in: 12 in apart along each (18.1).

    The lengths under the sheet are those of shapely's intersection.
    """
    angle = math.radians(degrees)
    along, across = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))
    corners = [(0, 0), (96, 0), (96, 48), (0, 48)]
    low = min(x * across[0] + y * across[1] for x, y in corners)
    high = max(x * across[0] + y * across[1] for x, y in corners)
    sheet, nails, at = Polygon(corners), 0, low + 16
    while at < high:
        x, y = at * across[0], at * across[1]
        line = LineString([(x - 200 * along[0], y - 200 * along[1]),
                           (x + 200 * along[0], y + 200 * along[1])])  # fmt: skip
        length = line.intersection(sheet).length
        if length >= 2:
            nails += max(2, math.ceil((length - 0.75) / 12 - 1e-9) + 1)
        elif length >= 0.5:
            nails += 1
        at += 16
    answer = answered({
        "unit": "in",
        "rules": {"panel_gap": 0, "panel_wall_gap": 0, "kerf": 0},
        "surfaces": [{
            "id": "bay", "rectangle": [96, 48],
            "supports": {"direction": degrees, "first": 16, "spacing": 16},
            "layers": [{"kind": "sheathing", "product": "sheet", "direction": 0}],
        }],
        "products": [{"id": "sheet", "form": "sheet", "width": 48, "thickness": 0.5,
                      "stock": [{"length": 96}]}],
    })  # fmt: skip
    assert sum(row["count"] for row in answer["fasteners"]) == nails
