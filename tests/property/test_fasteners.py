"""Fasteners are counted over placed pieces: every touch of every piece has its own."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import nailing, reader
from tests.independent.asked import laid, layers, rows
from tests.independent.json_patch import patched
from tests.independent.measure import INCH, ticks
from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]


def totals(answer: Request) -> dict[str, int]:
    """Fasteners by place, as answered."""
    found = {"blind": 0, "face": 0}
    for row in answer["fasteners"]:
        found[row["place"]] += row["count"]
    return found


PROFILES = st.sampled_from(["tongue_and_groove", "shiplap", "square_edge", "lapped"])


@st.composite
def nailed(draw: st.DrawFn) -> Request:
    """A rectangular room of boards of any profile, nailed in any pattern that suits it."""
    request = draw(jobs.rectangular())
    board = request["products"][0] | {"profile": draw(PROFILES)}
    if board["profile"] in ("tongue_and_groove", "shiplap", "lapped"):
        board["overall"] = board["coverage"] + 0.25
    suits = {"tongue_and_groove": ["face", "blind_face"], "lapped": ["lap", "face"]}
    pattern = draw(st.sampled_from([None, *suits.get(board["profile"], ["face"])]))
    request = requests.changed(request, "/products/0", board)
    if pattern:
        request = requests.changed(request, "/surfaces/0/layers/0/fastening/pattern", pattern)
    count = draw(st.none() | st.integers(1, 4))
    return request if count is None else request | {"rules": {"per_crossing": count}}


@LAW
@given(request=nailed())
def test_every_touch_has_its_fasteners(request: Request) -> None:
    """Touches of placed pieces times the pattern's figure for first, field and last course."""
    (layer,) = layers(request)
    answer = answered(requests.framed(request))
    pieces = rows(answer, "pieces", layer)
    assert all(reader.crossings(layer, piece)[0] >= 2 for piece in pieces)
    driven = nailing.driven(layer, answer)
    assert totals(answer) == {"blind": driven.blind, "face": driven.face}


@LAW
@given(request=jobs.rectangular(), ends=st.sampled_from(["square", "end_matched"]),
       joints=st.sampled_from(["sheathing", "anywhere"]))  # fmt: skip
def test_matched_ends_hold_each_other(request: Request, ends: str, joints: str) -> None:
    """Over a panel a joint between members has two face nails at each end, matched ends none."""
    board = request["products"][0] | {"ends": ends}
    request = requests.changed(request, "/products/0", board)
    request = requests.changed(request, "/surfaces/0/layers/0/joints", joints)
    request = requests.changed(request, "/surfaces/0/backing", {"thickness": 0.5})
    (layer,) = layers(request)
    answer = answered(request)
    driven = nailing.driven(layer, answer)
    assert totals(answer) == {"blind": driven.blind, "face": driven.face}
    if ends == "end_matched":
        assert all(row["where"] != "joint end" for row in answer["fasteners"])


@LAW
@given(request=jobs.jobs())
def test_crossings_are_counted_beside_the_fasteners(request: Request) -> None:
    """Of each layer, one for each member that each placed piece touches (18.2)."""
    answer = answered(request)
    stated = {(row["surface"], row["layer"]): row["crossings"] for row in answer["layers"]}
    for layer in laid(request, answer):
        found = [reader.crossings(layer, piece) for piece in rows(answer, "pieces", layer)]
        least, most = (sum(side) for side in zip(*found, strict=True))
        assert least <= stated[layer.key] <= most


@LAW
@given(request=jobs.jobs())
def test_bearings_of_a_piece_are_the_members_that_it_touches(request: Request) -> None:
    """Counted from the piece's own polygon; ends that slant leave it open by what they sweep."""
    answer = answered(request)
    for layer in laid(request, answer):
        for piece in rows(answer, "pieces", layer):
            least, most = reader.crossings(layer, piece)
            assert least <= piece["bearings"] <= most, piece


@FEW
@given(x=shapes.inches(20, 100), y=shapes.inches(10, 60), wide=shapes.inches(4, 60),
       high=shapes.inches(6, 40))  # fmt: skip
def test_an_opening_takes_only_its_own_crossings(
    x: float, y: float, wide: float, high: float
) -> None:
    """A room of one piece a course: touches fall by no more than the hole covers."""
    hole = {"id": "hatch", "rectangle": [x, y, wide, high]}
    plain = requests.job(requests.room(180, 110), requests.board("16 ft"))
    holed = requests.job(requests.room(180, 110, openings=[hole]), requests.board("16 ft"))
    before = sum(piece["bearings"] for piece in answered(plain)["pieces"])
    after = sum(piece["bearings"] for piece in answered(holed)["pieces"])
    courses, members = high // 5.125 + 2, wide // 16 + 2
    assert before - courses * members <= after <= before


@pytest.mark.parametrize(("spacing", "expected"), [(6, 1), (8, 1), (12, 1)])
def test_boards_into_a_panel_are_spaced_along_their_length(spacing: int, expected: int) -> None:
    """n = ceil((l - 2e)/s) + 1 a piece, e = 1-1/2 in: never further apart than s."""
    behind = {"direction": 0, "spacing": 16, "first": 16, "thickness": 1.5}
    area = requests.room(180, 41.0, behind=behind, backing={"thickness": 0.5},
                         rules={"panel_spacing": spacing})  # fmt: skip
    answer = answered(requests.job(area, requests.board("16 ft")))
    along = -((-(179 - 3)) // spacing) + 1
    field = list(answer["courses"])[1:-1]
    assert totals(answer)["blind"] >= expected * along * len(field)
    assert sum(row["count"] for row in answer["fasteners"]) >= along * len(answer["courses"])


SHEET = {"id": "sheet", "form": "sheet", "width": 48, "thickness": 0.5,
         "stock": [{"length": 96}]}  # fmt: skip
NAIL = {"id": "nail", "form": "fastener", "lengths": [1.5, 2, 2.5, 3], "shank": "smooth"}


@pytest.mark.parametrize(
    ("shank", "thickness", "length", "hold"),
    [
        ("smooth", 0.75, 2.5, 1.75),
        ("ring", 0.75, 2, 1.25),
        ("smooth", 0.5, 2, 1.5),
        ("screw", 0.5, 2, 1.5),
    ],
)
def test_the_shortest_face_nail_that_holds(
    shank: str, thickness: float, length: float, hold: float
) -> None:
    """Hold = length less all layers: 1-1/4 in for ring shank and screw, 1-1/2 in for smooth."""
    fastening = {"pattern": "face", "product": "nail"}
    area = requests.room(180, 60, layer={"fastening": fastening})
    product = requests.board("16 ft", thickness=thickness)
    answer = answered(requests.job(area, product, NAIL | {"shank": shank}))
    faced = [row for row in answer["fasteners"] if row["place"] == "face"]
    assert faced
    assert {row["length"] for row in faced} == {length}
    assert {row["bite"] for row in faced} == {hold}


LISTS = st.lists(st.sampled_from([1, 1.25, 1.5, 2, 2.5, 3, 4]), min_size=2, unique=True)


@st.composite
def driven_deep(draw: st.DrawFn) -> Request:
    """Boards of any thickness over panels, wrap and shims, with nails in some lengths."""
    pattern = draw(st.sampled_from(["face", "blind", "blind_face"]))
    layer = {"fastening": {"pattern": pattern, "product": "nail"}}
    behind = requests.supports() | draw(st.sampled_from([{}, {"shim": 0.25}]))
    extra = draw(st.sampled_from([{}, {"backing": {"thickness": 0.625}}]))
    kind = draw(st.sampled_from(["ceiling", "soffit", "wall", "floor"]))
    area = requests.room(180, 60, behind=behind, layer=layer, type=kind, **extra)
    products = [requests.board("16 ft", thickness=draw(st.sampled_from([0.5, 0.75, 1])))]
    if draw(st.booleans()):
        products += [SHEET, {"id": "roll", "form": "roll", "width": 54,
                                              "stock": [{"length": "50 ft"}]}]  # fmt: skip
        before = [{"kind": "sheathing", "product": "sheet"}, {"kind": "wrap", "product": "roll"}]
        area["layers"] = [*before, *area["layers"]]
    lengths = [*draw(LISTS), 6]
    shank = draw(st.sampled_from(["smooth", "ring", "screw"]))
    return requests.job(area, *products, NAIL | {"shank": shank, "lengths": lengths})


@FEW
@given(request=driven_deep())
def test_the_shortest_that_holds_and_how_deep_it_goes(request: Request) -> None:
    """Each way followed layer by layer; one length for all, and the next shorter holds somewhere
    too little (18.11)."""
    (layer,) = layers(request)
    driven = rows(answered(request), "fasteners", layer)
    nail = request["products"][-1]
    (length,) = {ticks(row["length"], "in") for row in driven}
    places = {row["place"] for row in driven}
    enough = [
        size
        for size in sorted(ticks(size, "in") for size in nail["lengths"])
        if all(nailing.suffices(layer, place, size, nail["shank"]) for place in places)
    ]
    assert length == enough[0]
    for row in driven:
        framing, wood = nailing.bite(layer, row["place"], length)
        assert row["into_framing"] == row["bite"] == pytest.approx(framing / INCH, abs=1e-5)
        assert row["into_wood"] == pytest.approx(wood / INCH, abs=1e-5)


@pytest.mark.parametrize(("kind", "length"), [("ceiling", 2.5), ("wall", 2)])
def test_a_blind_nail_enters_where_the_tongue_meets_the_shoulder(kind: str, length: float) -> None:
    """3/4 in board on 1/2 in of panel, ring shank: 2 in holds 1.29 in wood, 0.59 of it in framing.

    That does on a wall; overhead 3/4 in must lie in framing, and 2-1/2 in has 1.09 there.
    """
    layer = {"fastening": {"pattern": "blind", "product": "nail"}}
    area = requests.room(180, 60, layer=layer, type=kind, backing={"thickness": 0.5})
    ring = NAIL | {"shank": "ring"}
    answer = answered(requests.job(area, requests.board("16 ft"), ring))
    blind = next(row for row in answer["fasteners"] if row["place"] == "blind")
    assert blind["length"] == length
    assert blind["into_framing"] == pytest.approx(length - 2**0.5, abs=1e-4)
    assert blind["into_wood"] == pytest.approx(length - 2**0.5 / 2, abs=1e-4)
    assert blind["depth"] == pytest.approx((length - 2**0.5) / 2**0.5, abs=1e-4)


def test_where_the_hold_is_wanted_can_be_said() -> None:
    """In framing alone, or in the panel alone; a panel that is not there is refused (18.11)."""
    area = requests.room(180, 60, backing={"thickness": 0.5},
                         layer={"fastening": {"pattern": "face", "product": "nail"}})  # fmt: skip
    request = requests.job(area, requests.board("16 ft"), NAIL | {"shank": "ring"})
    found = {}
    for where in ("wood", "framing", "panel"):
        answer = answered(request | {"rules": {"bite_in": where}})
        found[where] = {row["length"] for row in answer["fasteners"]}
    assert found == {"wood": {2}, "framing": {2.5}, "panel": {1.5}}
    del request["surfaces"][0]["backing"]
    request["rules"] = {"bite_in": "panel"}
    _, (fault,) = refused(request)
    assert fault["code"] == "no-panel-behind"
    answered(patched(request, fault["cure"]))


def test_what_no_nail_can_hold_is_refused() -> None:
    """Boards that run with the members over 1/2 in of panel: no 1-1/4 in of wood is behind."""
    behind = requests.supports(direction=0)
    area = requests.room(180, 60, behind=behind, backing={"thickness": 0.5},
                         layer={"fastening": {"product": "nail"}})  # fmt: skip
    request = requests.job(area, requests.board("16 ft"), NAIL | {"shank": "ring"})
    request |= {"rules": {"bite_in": "wood"}, "when_blocked": "relax"}
    _, (fault,) = refused(request)
    assert fault["code"] == "nothing-to-hold"
    answered(patched(request, fault["cure"]))


@pytest.mark.parametrize(
    ("profile", "pattern", "cure"),
    [("shiplap", "lap", "face"), ("lapped", "blind", "lap"), ("shiplap", "blind", "face")],
)
def test_a_pattern_that_the_edges_do_not_allow(profile: str, pattern: str, cure: str) -> None:
    """The refusal names the pattern that does (18.3)."""
    area = requests.room(180, 60, layer={"fastening": {"pattern": pattern}})
    request = requests.job(area, requests.board("16 ft", profile=profile))
    _, (fault,) = refused(request)
    assert fault["pointer"] == "/surfaces/0/layers/0/fastening/pattern"
    (edit,) = fault["cure"]
    assert edit["value"] == cure
    answered(patched(request, fault["cure"]))


def test_nails_through_two_lapped_boards_are_said() -> None:
    """Allowed where asked for, never silently; the cure is the lap pattern (18.3)."""
    area = requests.room(180, 60, type="wall", layer={"fastening": {"pattern": "face"}})
    board = requests.board("16 ft", profile="lapped")
    request = requests.job(area, board)
    (finding,) = (
        row for row in answered(request)["findings"] if row["code"] == "lap-nailed-through"
    )
    cured = patched(request, finding["cure"])
    assert "lap-nailed-through" not in {row["code"] for row in answered(cured)["findings"]}
