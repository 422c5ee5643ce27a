"""Borders and breaker boards of decks, told again from the request alone (4.6; common practice)."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, box
from shapely.ops import unary_union

from tests.independent import any_kind, drawn
from tests.independent.json_patch import patched
from tests.strategies import shapes
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW
from tests.strategies.requests import changed

Request = dict[str, Any]
WIDE = 5.5


def deck(
    length: float, depth: float, gap: float, over: float = 0, of: str = "edge", **breaker: Any
) -> Request:
    """A deck with a border on three sides, perhaps a breaker, and boards along its length.

    Its border overhangs the rim, on those three sides, by so much; both strips are `of` a moulding,
    or of the boards of the field.
    """
    strip = {"kind": "trim", "product": of, "gap": gap}
    layers: list[Request] = [{"id": "border", "edges": [0, 1, 3], "from_edge": 0} | strip]
    if breaker:
        layers.append({"id": "breaker", "across": breaker} | strip)
    layers.append({"id": "boards", "kind": "boarding", "product": "plank", "direction": 0,
                   "spacer": gap, "edges": "bare", "rules": {"min_rip": 0.25}})  # fmt: skip
    area = {"id": "deck", "type": "deck", "rectangle": [length, depth], "layers": layers,
            "edges": [{"edge": 2, "is": "tight"}] + [
                {"edge": edge, "is": "overhang", "overhang": over} for edge in (0, 1, 3) if over],
            "supports": {"direction": 90, "spacing": 16, "ends": True}}  # fmt: skip
    stock = {"stock": [{"length": "12 ft"}, {"length": "20 ft"}], "thickness": 1}
    return {"unit": "in", "when_blocked": "relax", "surfaces": [area], "products": [
        {"id": "edge", "form": "moulding", "width": WIDE, "meets": "butted"} | stock,
        {"id": "plank", "form": "board", "profile": "square_edge", "overall": WIDE} | stock,
    ]}  # fmt: skip


@FEW
@given(length=shapes.inches(150, 300), depth=shapes.inches(60, 160), share=st.floats(0.3, 0.7),
       gap=st.sampled_from([0.125, 0.1875]), along=st.booleans(),
       over=st.sampled_from([0, 0.75, 1.25]), of=st.sampled_from(["edge", "plank"]))  # fmt: skip
def test_boards_lie_in_the_fields_that_border_and_breaker_leave(
    length: float, depth: float, share: float, gap: float, along: bool, over: float, of: str
) -> None:
    """Each is as far off as the gap, on all sides; strips and boards lie nowhere on each other.

    A border at an overhang reaches beyond the rim, and all that lies within it begins further out.
    """
    at = round(share * (depth if along else length), 2)
    request = deck(length, depth, gap, over, of, direction=0 if along else 90, at=[at])
    answer = answered(request)
    assert any_kind.faults(request, answer) == []
    made = {name: drawn.pieces(answer, "deck", name) for name in ("border", "breaker", "boards")}
    (low, high) = at - WIDE / 2, at + WIDE / 2
    side = WIDE - over
    inner = box(side, side, length - side, depth)
    band = box(0, low, length, high) if along else box(low, 0, high, depth)
    breaker = unary_union(list(made["breaker"].values()))
    ends = box(side + gap, 0, length - side - gap, depth) if along else box(
        0, side + gap, length, depth - gap)  # fmt: skip
    assert breaker.symmetric_difference(band.intersection(inner).intersection(ends)).area < 0.1
    border = unary_union(list(made["border"].values()))
    frame = box(-over, -over, length + over, depth).difference(inner)
    assert border.symmetric_difference(frame).area < 0.1
    boards = unary_union(list(made["boards"].values()))
    assert boards.distance(breaker) == pytest.approx(gap, abs=1 / 64)
    assert boards.distance(border) == pytest.approx(gap, abs=1 / 64)
    room = inner.difference(band.buffer(gap, join_style="mitre"))
    assert boards.difference(room.buffer(1 / 64)).area < 0.1


@FEW
@given(length=shapes.inches(150, 300), depth=shapes.inches(60, 160), share=st.floats(0.05, 0.95),
       turn=st.integers(20, 160).filter(lambda turn: abs(turn - 90) > 1))  # fmt: skip
def test_a_breaker_that_runs_aslant_is_cut_along_what_it_meets(
    length: float, depth: float, share: float, turn: int
) -> None:
    """Each of its ends, but for its gap, at one wall; where a corner lies in its way it is refused.

    It is as long as it reaches along itself, less no more than it is rounded to.
    """
    gap, (x, y) = 0.125, (cos(radians(turn)), sin(radians(turn)))
    across = (-y, x) if turn < 90 else (y, -x)
    corners = [(0, 0), (length, 0), (length, depth), (0, depth)]
    low, *_, high = sorted(across[0] * p + across[1] * q for p, q in corners)
    at = round(share * (high - low), 2)
    centre = low + at
    band = LineString(
        [(across[0] * centre + x * far, across[1] * centre + y * far) for far in (-999, 999)]
    ).buffer(WIDE / 2, cap_style="flat")
    request = deck(length, depth, gap, direction=turn, at=[at])
    there = band.intersection(box(WIDE, WIDE, length - WIDE, depth))
    if there.area < 1 or len(there.exterior.coords) != 5:
        _, faults = refused(request)
        assert {one["code"] for one in faults} == {"breaker-no-room"}
        return
    wanted = band.intersection(box(WIDE + gap, WIDE + gap, length - WIDE - gap, depth - gap))
    if len(wanted.exterior.coords) != 5:
        return  # a corner lies in the gap
    answer = answered(request)
    breaker = unary_union(list(drawn.pieces(answer, "deck", "breaker").values()))
    assert breaker.symmetric_difference(wanted).area < 0.1
    boards = unary_union(list(drawn.pieces(answer, "deck", "boards").values()))
    assert boards.distance(breaker) == pytest.approx(gap, abs=1 / 64)
    (row,) = (one for one in answer["trim_lengths"] if one["layer"] == "breaker")
    along = [p * x + q * y for p, q in wanted.exterior.coords]
    assert -1 / 16 - 1e-3 <= row["cut"] - (max(along) - min(along)) <= 1e-3


def test_border_and_field_of_one_board_are_bought_once() -> None:
    """240 x 144 in, 1 in past the rim: border 242, 145 and 145, and between it and the house the
    breaker, 145 - 5-1/2 - 2 x 1/8 = 139-1/4.

    One plan for all of it is no dearer than one for the border and one for the field.
    """
    apart, once = (answered(deck(240, 144, 0.125, 1, of, direction=90, at=[120])) for of in (
        "edge", "plank"))  # fmt: skip
    cut = [sorted(row["cut"] for row in one["trim_lengths"]) for one in (apart, once)]
    assert cut[0] == cut[1] == [139.25, 145, 145, 242]
    assert {row["product"] for row in once["order"]} == {"plank"}
    feet = [sum(row["buy"] * row["length"] for row in one["order"]) / 12 for one in (apart, once)]
    assert feet[1] <= feet[0]
    (plan,) = once["cut_plans"]
    assert plan["optimal"]
    shares = {row["account"]: row["area"] for row in once["ledger"]}
    assert sum(shares.values()) == pytest.approx(feet[1] * WIDE / 12, abs=1e-3)


def test_a_border_of_boards_with_tongues_is_refused() -> None:
    request = deck(240, 144, 0.125, of="plank")
    tongue = changed(request, "/products/1/profile", "tongue_and_groove")
    _, faults = refused(changed(tongue, "/products/1/tongue", 0.25))
    assert [(one["code"], one["pointer"]) for one in faults] == [
        ("trim-needs-square-edges", "/products/1/profile")
    ]


def test_a_border_is_mitred_or_butted() -> None:
    """240 x 144 in: mitred 240 and twice 144; butted the two short ones stop 5-1/2 in before."""
    mitred = deck(240, 144, 0.125)
    cuts = {
        inside: sorted(row["cut"] for row in answered(
            changed(mitred, "/surfaces/0/layers/0/inside", inside))["trim_lengths"])
        for inside in ("mitred", "butted")
    }  # fmt: skip
    assert cuts == {"mitred": [144, 144, 240], "butted": [138.5, 138.5, 240]}


def test_what_runs_with_the_joists_is_borne_on_both_its_sides() -> None:
    """Joists at 16 in: a nailer inside either border along them, one on each side of the breaker.

    The breaker lies from 117.25 to 122.75, between joists at 112 and 128.
    """
    answer = answered(deck(240, 144, 0.125, direction=90, at=[120]))
    found = sorted(row["from"][0] for row in answer["backing"] if row["what"] == "nailer")
    assert found == [WIDE, 117.25, 122.75, 240 - WIDE]


def test_a_breaker_that_meets_an_opening_or_leaves_the_deck_is_refused() -> None:
    request = deck(240, 144, 0.125, direction=90, at=[60, 120])
    hatch = changed(
        request, "/surfaces/0/openings", [{"id": "hatch", "rectangle": [118, 60, 30, 30]}]
    )
    for asked, number in ((hatch, 1), (deck(240, 144, 0.125, direction=90, at=[239]), 0)):
        _, faults = refused(asked)
        assert [(one["code"], one["pointer"]) for one in faults] == [
            ("breaker-no-room", f"/surfaces/0/layers/1/across/at/{number}")
        ]
        cured = answered(patched(asked, faults[0]["cure"]))
        assert {row["layer"] for row in cured["trim_lengths"]} == {"border", "breaker"}


@pytest.mark.parametrize(
    ("edits", "word"),
    [
        ({"gap": 0.125}, "`gap`"), ({"inside": "butted"}, "butted"),
        ({"across": {"direction": 90, "at": [60]}, "edges": [0]}, "`across`"),
    ],
)  # fmt: skip
def test_what_goes_with_strips_that_are_set_in_stands_beside_no_other(
    edits: Request, word: str
) -> None:
    request = deck(240, 144, 0.125)
    request["surfaces"][0]["layers"][0] = {"kind": "trim", "product": "edge"} | edits
    _, faults = refused(request)
    assert any(word in one["detail"] for one in faults)
