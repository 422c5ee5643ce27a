"""Fasteners are counted over placed pieces: every touch of every piece has its own."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import reader
from tests.independent.asked import laid, layers, rows
from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]


def totals(answer: Request) -> dict[str, int]:
    """Fasteners by place, as answered."""
    found = {"blind": 0, "face": 0}
    for row in answer["fasteners"]:
        found[row["place"]] += row["count"]
    return found


@LAW
@given(request=jobs.rectangular(), pattern=st.sampled_from([None, "face", "blind_face"]))
def test_every_touch_has_its_fasteners(request: Request, pattern: str | None) -> None:
    """Touches of placed pieces times the pattern's figure for first, field and last course."""
    tongue = request["products"][0]["profile"] == "tongue_and_groove"
    if pattern and (tongue or pattern == "face"):
        request = requests.changed(request, "/surfaces/0/layers/0/fastening/pattern", pattern)
    (layer,) = layers(request)
    answer = answered(request)
    if len(rows(answer, "courses", layer)) < 2:
        return
    pieces = rows(answer, "pieces", layer)
    assert all(reader.crossings(layer, piece)[0] >= 2 for piece in pieces)
    driven = reader.fasteners(layer, answer)
    assert totals(answer) == {"blind": driven.blind, "face": driven.face}


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
    assert {row["hold"] for row in faced} == {hold}


def test_a_blind_nail_enters_at_mid_thickness() -> None:
    """Hold = length - (t/2)/cos 45, 3/4 in board: 2 in holds 1.47, too little; 2-1/2 holds 1.97.

    The depth is the hold times cos 45.
    """
    area = requests.room(180, 60, layer={"fastening": {"pattern": "blind", "product": "nail"}})
    answer = answered(requests.job(area, requests.board("16 ft"), NAIL))
    blind = next(row for row in answer["fasteners"] if row["place"] == "blind")
    assert blind["length"] == 2.5
    assert blind["hold"] == pytest.approx(2.5 - 0.375 * 2**0.5, abs=1e-4)
    assert blind["depth"] == pytest.approx((2.5 - 0.375 * 2**0.5) / 2**0.5, abs=1e-4)
