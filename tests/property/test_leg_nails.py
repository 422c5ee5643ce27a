"""Legs beside cut-outs have a face nail where they are narrow or no member bears them (18.4).

Common practice; figures are worked by hand on joists 16 in apart, 1-1/2 in wide.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import nailing
from tests.independent.asked import layers
from tests.strategies import requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import FEW

Request = dict[str, Any]

NAIL = {"id": "nail", "form": "fastener", "lengths": [2, 2.5], "shank": "ring"}


def cut(hole: list[float], **more: Any) -> Request:
    """A ceiling of 192 x 60 in with joists on 16, 32 ... and an opening cut to this rectangle."""
    opening = {"id": "light", "rectangle": hole, "cut_gap": 0}
    area = requests.room(192, 60, behind=requests.supports(ends=True), openings=[opening],
                         layer={"fastening": {"product": "nail"}}, **more)  # fmt: skip
    return requests.job(area, requests.board("16 ft"), NAIL)


def at_legs(answer: Request) -> dict[str, int]:
    found = {"notch": 0, "leg": 0}
    for row in answer["fasteners"]:
        if row["where"] in found:
            assert (row["place"], row["counted"]) == ("face", "sides of cut-outs")
            found[row["where"]] += row["count"]
    return found


CASES: list[tuple[list[float], dict[str, int], bool]] = [
    # Across the joint at 25.5 in: two legs; sides at 40 and 45, joists' faces at 32.75 and 47.25.
    ([40, 24, 5, 3], {"notch": 0, "leg": 2}, True),
    # Both sides within 4 in of a joist, legs of 3.375 and 3.625 in: nothing is added.
    ([36, 24, 8, 3], {"notch": 0, "leg": 0}, False),
    # On joists, and a leg of 1-1/2 in above: one at each of its sides.
    ([32, 23.9375, 16, 5.1875], {"notch": 2, "leg": 0}, False),
]


@pytest.mark.parametrize(("hole", "expected", "bare"), CASES)
def test_sides_of_a_cut_out_by_hand(
    hole: list[float], expected: dict[str, int], bare: bool
) -> None:
    answer = answered(cut(hole))
    assert at_legs(answer) == expected, [row["cutouts"] for row in answer["pieces"]]
    assert ("leg-unbacked" in {row["code"] for row in answer["findings"]}) == bare


def test_a_panel_behind_holds_it_and_it_is_bought() -> None:
    """The panel's half inch is all that holds; the order has the two nails more."""
    here, there = (answered(cut(hole, backing={"thickness": 0.5}))
                   for hole in (CASES[0][0], CASES[1][0]))  # fmt: skip
    (leg,) = (row for row in here["fasteners"] if row["where"] == "leg")
    assert (leg["bite"], leg["into_framing"]) == (0.5, 0)
    assert "leg-unbacked" not in {row["code"] for row in here["findings"]}
    bought = [sum(row["need"] for row in answer["order"] if row["product"] == "nail")
              for answer in (here, there)]  # fmt: skip
    assert bought[0] - bought[1] == 2
    explained = answered(cut(CASES[0][0], backing={"thickness": 0.5}) | {"explain": True})["trace"]
    (used,) = (row for row in explained if "boards leg" in row["figure"])
    assert (used["result"], used["rule"], used["table"]) == ("2", "18.4", "fasteners")


@pytest.mark.parametrize("more", [{"rules": {"backing": "none"}}, {}])
def test_an_opening_that_is_framed_holds_it(more: Request) -> None:
    """By the framer, or by what is counted round an opening that cuts a board in two."""
    hole = CASES[0][0] if more else [39, 20, 7, 16]
    answer = answered(cut(hole, **more))
    assert at_legs(answer)["leg"] > 0
    assert "leg-unbacked" not in {row["code"] for row in answer["findings"]}


@FEW
@given(x=shapes.inches(20, 100), y=shapes.inches(10, 40), wide=shapes.inches(2, 60),
       high=shapes.inches(2, 14), along=st.booleans())  # fmt: skip
def test_every_side_of_every_leg_is_looked_at(
    x: float, y: float, wide: float, high: float, along: bool
) -> None:
    """Recounted from the pieces as answered; over strips of the outline's own too."""
    request = cut([x, y, wide, high])
    if along:
        outline = [[0, 0], [192, 0], [192, 60], [x, 60], [x, 60 - high], [0, 60 - high]]
        del request["surfaces"][0]["rectangle"], request["surfaces"][0]["openings"]
        request["surfaces"][0]["outline"] = outline
    (layer,) = layers(request)
    answer = answered(request)
    assert at_legs(answer) == nailing.at_legs(layer, answer)
