"""Sheets as they are answered: joints, bearings and nails told again from the request alone.

The rules are common practice of laying sheets; each is recomputed here in inches.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from math import ceil
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.independent import build_up
from tests.independent.build_up import layers_behind
from tests.strategies.asking import answered
from tests.strategies.budget import LAW

Request = dict[str, Any]
Rows = list[dict[str, Any]]

NEAR = 1e-6
"""Answers are exact to six decimals."""

MEMBER = 1.5
GAP = 0.125


@st.composite
def ceilings(draw: st.DrawFn, *, along: bool = False) -> Request:
    """A rectangle under sheets alone, their length across the members or along them."""
    length, width = draw(st.integers(40, 420)), draw(st.integers(30, 220))
    spacing = draw(st.sampled_from([12, 16, 19.2, 24]))
    first = draw(st.sampled_from([spacing, spacing / 2, 5.25]))
    wide, long = draw(st.sampled_from([(47.875, 95.875), (48, 96), (48, 120)]))
    layer: Request = {"kind": "sheathing", "product": "sheet",
                      "start_side": draw(st.sampled_from(["low", "high"]))}  # fmt: skip
    if along:
        layer["direction"] = 90
    members = [MEMBER / 2, *_between(first, spacing, length), length - MEMBER / 2]
    return {
        "unit": "in",
        "when_blocked": "relax",
        "surfaces": [
            {"id": "loft", "type": "ceiling", "view": "facing", "rectangle": [length, width],
             "supports": {"direction": 90, "at": members, "thickness": MEMBER},
             "layers": [layer]}
        ],
        "products": [{"id": "sheet", "form": "sheet", "width": wide, "thickness": 0.5,
                      "stock": [{"length": long}]}],
    }  # fmt: skip


def _between(first: float, spacing: float, length: float) -> list[float]:
    at = [round(first + k * spacing, 3) for k in range(int(length / spacing) + 1)]
    return [one for one in at if MEMBER * 2 < one < length - MEMBER * 2]


def members_of(request: Request) -> list[float]:
    """Centres of the members."""
    found: list[float] = request["surfaces"][0]["supports"]["at"]
    return found


def touched(request: Request, low: float, high: float) -> list[float]:
    """Members of which a piece covers 1/2 in (18.2)."""
    half = MEMBER / 2
    return [
        at for at in members_of(request)
        if min(high, at + half) - max(low, at - half) >= 0.5 - NEAR
    ]  # fmt: skip


def rows_of(answer: Request) -> dict[int, Rows]:
    """Pieces by row, along it."""
    found: dict[int, Rows] = defaultdict(list)
    for piece in answer["pieces"]:
        found[piece["course"]].append(piece)
    return {row: sorted(pieces, key=lambda piece: piece["from"]) for row, pieces in found.items()}


def faults(request: Request, answer: Request) -> list[str]:
    """What whole polygons, the saw and the ledger say against an answer."""
    (layer,) = layers_behind(request, answer, "sheathing")
    return [
        *build_up.sheet_layer_faults(layer),
        *build_up.sheets_sawn_faults(request, answer),
        *build_up.ledger_faults(request, answer),
    ]


@LAW
@given(request=ceilings(along=True))
def test_sheets_along_the_members_tile_and_add_up(request: Request) -> None:
    assert faults(request, answered(request)) == []


@LAW
@given(request=ceilings(along=True))
def test_seams_along_the_members_lie_on_their_centres(request: Request) -> None:
    rows = answered(request)["courses"]
    sides = sorted(tuple(sorted((row["near"], row["far"]))) for row in rows)
    for (_, low), (high, _) in pairwise(sides):
        assert min(abs((low + high) / 2 - at) for at in members_of(request)) < 1e-4
        assert abs(high - low - GAP) < 1e-4


@LAW
@given(request=ceilings())
def test_ends_meet_over_a_member_with_their_gap_and_bearing(request: Request) -> None:
    """Each end of two that meet bears 1/2 in, and the gap lies between them (11.1)."""
    answer = answered(request)
    eased = {row["key"] for row in answer["relaxed"]}
    for pieces in rows_of(answer).values():
        for one, two in pairwise(pieces):
            assert abs(two["from"] - one["to"] - GAP) < 1e-4
            middle = (one["to"] + two["from"]) / 2
            member = min(members_of(request), key=lambda at: abs(at - middle))
            assert abs(member - middle) < 1e-4
            bears = min(one["to"] - (member - MEMBER / 2), member + MEMBER / 2 - two["from"])
            assert "panel_end_bearing" in eased or bears >= 0.5 - NEAR


@LAW
@given(request=ceilings())
def test_pieces_of_a_jointed_row_are_long_enough_and_held(request: Request) -> None:
    """24 in and 3 members, or what the answer says was eased (11.5)."""
    answer = answered(request)
    used = {row["key"]: row["used"] for row in answer["relaxed"]}
    for pieces in rows_of(answer).values():
        for piece in pieces if len(pieces) > 1 else ():
            low, high = piece["from"], piece["to"]
            assert high - low >= used.get("panel_min_piece", 24) - NEAR
            assert high - low <= request["products"][0]["stock"][0]["length"] + NEAR
            assert len(touched(request, low, high)) >= used.get("panel_min_bearings", 3)


@LAW
@given(request=ceilings())
def test_joints_of_neighbouring_rows_are_a_member_spacing_apart(request: Request) -> None:
    """The usual spacing is the median one, its lower middle; four corners never meet (11.5)."""
    answer = answered(request)
    used = {row["key"]: row["used"] for row in answer["relaxed"]}
    spaces = sorted(b - a for a, b in pairwise(members_of(request)))
    stagger = used.get("panel_stagger", spaces[(len(spaces) - 1) // 2])
    joints: dict[int, list[float]] = defaultdict(list)
    for row in answer["joints"]:
        joints[row["course"]].append(row["at"])
    for row, own in joints.items():
        for one in own:
            assert all(abs(one - other) >= stagger - 1e-4 for other in joints.get(row + 1, []))


@LAW
@given(request=ceilings())
def test_nails_are_counted_again_piece_by_piece(request: Request) -> None:
    """6 in on members under a piece's ends, 12 in on the others, 3/8 in from its edges (18.7).

    A member within 1 in of an end carries that end.
    """
    answer = answered(request)
    counted = 0
    for piece in answer["pieces"]:
        length = abs(piece["far"] - piece["near"])
        for at in touched(request, piece["from"], piece["to"]):
            away = min(abs(at - piece["from"]), abs(at - piece["to"]))
            spacing = 6 if away <= MEMBER / 2 + 1 + NEAR else 12
            counted += _points(length, spacing)
    assert sum(row["count"] for row in answer["fasteners"]) == counted


def _points(length: float, spacing: float) -> int:
    """Points on a line, at most `spacing` apart (18.1)."""
    if length < 2 - NEAR:
        return 1
    inner = length - 2 * min(0.375, length / 4)
    return max(2, ceil(inner / spacing - NEAR) + 1)
