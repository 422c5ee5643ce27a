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


CASES: list[tuple[list[float], dict[str, int], list[float]]] = [
    # Across the joint at 24.875 in: two legs; sides at 40 and 45, joists' faces at 32.75 and 47.25.
    # The low side is off them. Legs from 19.75 to 24 and from 27 to 30: blocks at their middles.
    ([40, 24, 5, 3], {"notch": 0, "leg": 2}, [21.875, 28.5]),
    # A hole of 1 in within one board, with a leg of 1-3/4 in below: its two blocks are clear of it,
    # and not merged into one.
    ([40, 21.5, 5, 1], {"notch": 1, "leg": 2}, [20.492187, 23.6875]),
    # A leg of 1/2 in: the block is clear of the hole, 3/4 in from its edge.
    ([40, 20.25, 5, 6], {"notch": 1, "leg": 2}, [19.5, 28.125]),
    # Both sides within 4 in of a joist, legs of 4.25 and 3 in: nothing is added.
    ([36, 24, 8, 3], {"notch": 0, "leg": 0}, []),
    # On joists, and a leg of 7/8 in above: one at each of its sides.
    ([32, 23.9375, 16, 5.1875], {"notch": 2, "leg": 0}, []),
]


@pytest.mark.parametrize(("hole", "expected", "blocks"), CASES)
def test_sides_of_a_cut_out_by_hand(
    hole: list[float], expected: dict[str, int], blocks: list[float]
) -> None:
    """59 - 11 x 5.125 = 2.625, rips (5.125 + 2.625) / 2: edges at 4.375, ... 19.75, 24.875, 30."""
    answer = answered(cut(hole))
    assert at_legs(answer) == expected, [row["cutouts"] for row in answer["pieces"]]
    assert "leg-unbacked" not in {row["code"] for row in answer["findings"]}
    behind = [row for row in answer["backing"] if row["for"] == "leg"]
    assert [row["from"][1] for row in behind] == pytest.approx(blocks, abs=1e-6)
    assert {(row["what"], row["length"], row["nails"]) for row in behind} <= {("block", 14.5, 4)}


def test_a_block_behind_a_leg_is_cut_from_the_lumber_and_the_leg_holds_in_it() -> None:
    """Ordered with all that stands behind, and not where the framer has it or straps are there."""
    hole = CASES[0][0]
    stud = {"id": "stud", "form": "lumber", "width": 3.5, "thickness": 1.5,
            "stock": [{"length": "8 ft"}]}  # fmt: skip
    request = cut(hole) | {"nailers": "stud"}
    request["products"].append(stud)
    answer = answered(request)
    assert [row["length"] for row in answer["backing"]] == [14.5, 14.5]
    assert [row["buy"] for row in answer["order"] if row["product"] == "stud"] == [1]
    (leg,) = (row for row in answer["fasteners"] if row["where"] == "leg")
    assert leg["into_framing"] == leg["bite"] > 0.75
    assert not answered(cut(hole, rules={"backing": "none"}))["backing"]


def test_legs_beside_rows_of_blocks_have_one_at_the_side_of_the_hole() -> None:
    """178.5 / 12: rows every 15 in. The side at 22 is 22 - 15.75 off one, that at 27 only 2.25.

    Legs of two courses share a block in the bay from 16.75 to 31.25 in, 3/4 in off the hole.
    """
    hole = {"id": "o", "rectangle": [22, 22, 5, 3], "cut_gap": 0}
    room = requests.room(180, 64, behind=requests.supports(direction=0), openings=[hole],
                         layer={"blocks": True})  # fmt: skip
    answer = answered(requests.job(room, requests.board("8 ft", "12 ft")))
    assert at_legs(answer) == {"notch": 0, "leg": 2}
    (block,) = (row for row in answer["backing"] if row["for"] == "leg")
    assert (block["from"], block["to"]) == ([21.25, 16.75], [21.25, 31.25])
    assert "leg-unbacked" not in {row["code"] for row in answer["findings"]}


def test_no_block_passes_through_another_opening() -> None:
    """A second hole in the same bay, level with the legs of the first: they are told instead."""
    request = cut([34, 24, 3, 3])
    request["surfaces"][0]["openings"][0]["rectangle"] = [41, 24, 1, 3]
    request["surfaces"][0]["openings"].append(
        {"id": "pipe", "rectangle": [36, 18, 2, 8], "cut_gap": 0, "flange": 0.5})  # fmt: skip
    answer = answered(request)
    lines = [row["from"][1] for row in answer["backing"] if row["for"] == "leg"]
    assert all(not 18 < at < 26 for at in lines)
    assert "leg-unbacked" in {row["code"] for row in answer["findings"]}


def test_a_panel_behind_holds_it_and_it_is_bought() -> None:
    """The panel's half inch is all that holds; the order has the two nails more."""
    here, there = (answered(cut(hole, backing={"thickness": 0.5}))
                   for hole in (CASES[0][0], CASES[3][0]))  # fmt: skip
    (leg,) = (row for row in here["fasteners"] if row["where"] == "leg")
    assert (leg["bite"], leg["into_framing"]) == (0.5, 0)
    assert "leg-unbacked" not in {row["code"] for row in here["findings"]}
    bought = [sum(row["need"] for row in answer["order"] if row["product"] == "nail")
              for answer in (here, there)]  # fmt: skip
    assert bought[0] - bought[1] == 2
    explained = answered(cut(CASES[0][0], backing={"thickness": 0.5}) | {"explain": True})["trace"]
    (used,) = (row for row in explained if "boards leg" in row["figure"])
    assert (used["result"], used["rule"], used["table"]) == ("2", "18.4", "fasteners")


# A hatch from 38 to 58 in cuts the joist at 48: its headers stand from 32.75 to 63.25 in, behind
# legs of 2-1/4 and 2 in. Its sides are 5-1/4 in from the nearest joists that are whole.
HATCH: list[float] = [38, 22, 20, 6]
PANEL: Request = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5,
                  "stock": [{"length": 96}]}  # fmt: skip


@pytest.mark.parametrize(
    ("laid", "boards", "where"),
    [
        (None, {}, "framed leg"),
        (None, {"backing": "none"}, "leg"),
        ({}, {}, "framed leg"),
        ({"backing": "none"}, {}, "leg"),
    ],
)
def test_a_leg_at_a_framed_opening_is_held_through_the_panel_by_its_header(
    laid: Request | None, boards: Request, where: str
) -> None:
    """A nail of 2-1/2 in less 3/4 and 1/2 in: 1-1/4 in the header; in the panel alone 1/2 in.

    As it stands there, or is laid: with the framing left to the framer nothing is known of it.
    """
    request = cut(HATCH, rules=boards, **({"backing": {"thickness": 0.5}} if laid is None else {}))
    if laid is not None:
        layer = {"id": "ply", "kind": "sheathing", "product": "ply", "rules": laid}
        request["surfaces"][0]["layers"].insert(0, layer)
        request["products"].append(PANEL)
    rows = {row["where"]: row for row in answered(request)["fasteners"] if row["layer"] != "ply"}
    assert {"leg", "framed leg"} & set(rows) == {where}
    assert (rows[where]["count"], rows[where]["place"]) == (4, "face")
    framing = 1.25 if where == "framed leg" else 0
    assert (rows[where]["into_framing"], rows[where]["bite"]) == (framing, framing or 0.5)


def test_a_narrow_leg_of_boards_along_the_joists_is_held_by_the_header() -> None:
    """Boards over a panel, with the joists: the header crosses beneath them at the hole's ends."""
    hole = {"id": "o", "rectangle": [60, 20, 20, 24], "cut_gap": 0, "flange": 0.5}
    room = requests.room(192, 60, behind=requests.supports(direction=0), openings=[hole],
                         layer={"fastening": {"product": "nail"}}, backing={"thickness": 0.5},
                         )  # fmt: skip
    answer = answered(requests.job(room, requests.board("16 ft"), NAIL))
    (leg,) = (row for row in answer["fasteners"] if row["where"] == "framed leg")
    narrow = [abs(one[end] - piece[end]) for piece in answer["pieces"] for one in piece["cutouts"]
              for end in ("near", "far")]  # fmt: skip
    assert leg["count"] == 2 * sum(1 / 64 < wide < 2 for wide in narrow) > 0
    assert leg["into_framing"] > 0


@pytest.mark.parametrize("more", [{"rules": {"backing": "none"}}, {}])
def test_an_opening_that_is_framed_holds_it(more: Request) -> None:
    """By the framer, or by what is counted round an opening that cuts a board in two."""
    hole: list[float] = CASES[0][0] if more else [39, 20, 7, 16]
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
