"""Slanted ends could share a cut with the next piece: what is claimed leaves room for that.

Rules 4.5 and 8.8: the bound uses mean lengths where mitres can nest, or the claim is not made.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent.nesting import Slanted, least_extent, least_nested
from tests.strategies import requests
from tests.strategies.asking import answered
from tests.strategies.budget import LAW

Request = dict[str, Any]

TRIM, KERF = 0.5, 0.125


def room(corners: list[list[float]], feet: list[int], **rules: Any) -> Request:
    """Courses of whole boards on an outline, so that no piece is ripped."""
    board = requests.board(*(f"{size} ft" for size in feet))
    area = requests.outline(corners, layer={"start": "full_first"})
    asked = {"gap": 0, "end_trim": TRIM, "kerf": KERF} | rules
    return requests.job(area, board, rules=asked, when_blocked="relax")


@st.composite
def slanted_rooms(draw: st.DrawFn) -> Request:
    """Parallelograms, trapezoids and kites of two to six courses, each in one piece or jointed."""
    courses = draw(st.integers(2, 6))
    width = courses * requests.COVER
    length = draw(st.integers(30, 110))
    slants = st.sampled_from([0, width / 2, width, -width, 1.5 * width])
    low, high = draw(slants), draw(slants)
    base = max(0, -low)
    corners = [[base, 0], [base + length, 0], [base + length + high, width], [base + low, width]]
    if draw(st.booleans()):
        corners[3:3] = [[x, 2 * width] for x, _ in corners[1::-1]]
    feet = sorted(draw(st.sets(st.sampled_from([8, 10, 12, 14, 16]), min_size=1, max_size=2)))
    return room(corners, feet)


def slanted(piece: Request) -> Slanted:
    """A piece by its two long edges, from its shape or as a rectangle."""
    if not piece["shape"]:
        return Slanted((piece["from"], piece["to"]), (piece["from"], piece["to"]))
    points = piece["shape"][0]
    near, far = min(v for _, v in points), max(v for _, v in points)
    edges = [[u for u, v in points if v == edge] for edge in (near, far)]
    return Slanted(*((min(edge), max(edge)) for edge in edges))


@st.composite
def several_rooms(draw: st.DrawFn) -> Request:
    """One or two of them, of which any may be mirrored and laid from the other side."""
    request = draw(slanted_rooms())
    profile = draw(st.sampled_from(["tongue_and_groove", "square_edge"]))
    cover = {} if profile == "tongue_and_groove" else {"coverage": requests.OVERALL}
    request["products"][0] |= {"profile": profile} | cover
    areas = [request["surfaces"][0], *draw(slanted_rooms())["surfaces"]]
    request["surfaces"] = areas[: draw(st.integers(1, 2))]
    for k, area in enumerate(request["surfaces"]):
        area["id"] = f"loft-{k}"
        area["layers"][0]["start_side"] = draw(st.sampled_from(["low", "high"]))
        if draw(st.booleans()):
            area["outline"] = [[-x, y] for x, y in reversed(area["outline"])]
    return request


@LAW
@given(request=several_rooms())
def test_no_bound_is_over_what_nested_pieces_cost(request: Request) -> None:
    """The plan's own pieces nested in every order: no claim may be above what they then cost."""
    answer = answered(request)
    (plan,) = answer["cut_plans"]
    turns = request["products"][0]["profile"] == "square_edge"
    sides = {area["id"]: area["layers"][0]["start_side"] for area in request["surfaces"]}
    pieces = [
        one if sides[piece["surface"]] == "low" else one.turned
        for piece in answer["pieces"][-(4 if turns else 7) :]
        for one in [slanted(piece)]
    ]
    bars = [(one["length"], one["length"]) for one in stock_of(request)]
    usable = [(length - 2 * TRIM, cost) for length, cost in bars]
    least = least_nested(pieces, usable, KERF, turns=turns)
    others = len(answer["pieces"]) - len(pieces)
    assert plan["bound"] <= least + others * max(cost for _, cost in bars) + 1e-3
    assert not plan["optimal"] or others or plan["cost"] <= least + 1e-3


def stock_of(request: Request) -> list[Request]:
    """The lengths that can be bought, in inches."""
    stock = request["products"][0]["stock"]
    return [{"length": 12 * int(one["length"].split()[0])} for one in stock]


def test_two_mirrored_trapezoids_that_fit_one_stick_are_not_denied() -> None:
    """A hexagon of two courses of 30.875 in at the walls and 41.125 in where they meet, by hand.

    Nested on one 45 degree cut they take 41.125 + 41.125 - 5.125 + 1/8 = 77.25 in of a stick with
    78 in of use; apart 82.375, two sticks.
    """
    cover = requests.COVER
    tall = 2 * cover
    corners = [[cover, 0], [cover + 30.875, 0], [2 * cover + 30.875, cover],
               [cover + 30.875, tall], [cover, tall], [0, cover]]  # fmt: skip
    request = room(corners, [])
    request["products"][0]["stock"] = [{"length": 79}]
    answer = answered(request)
    assert [piece["length"] for piece in answer["pieces"]] == [41.125, 41.125]
    pieces = [slanted(piece) for piece in answer["pieces"]]
    assert least_extent(pieces, KERF) == pytest.approx(77.25)
    (plan,) = answer["cut_plans"]
    assert plan["cost"] == 158
    assert plan["bound"] == 79
    assert not plan["optimal"]


def test_square_ends_are_claimed_as_ever() -> None:
    """Steps of an outline do not nest: their plan is still proved."""
    cover = requests.COVER
    corners = [[0, 0], [60, 0], [60, cover], [50, cover], [50, 2 * cover], [0, 2 * cover]]
    (plan,) = answered(room(corners, [10]))["cut_plans"]
    assert plan["optimal"]
    assert plan["cost"] == 120
