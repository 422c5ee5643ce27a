"""Skins with square edges: 1/8 in off an eased edge of each board, once (16.7)."""

from __future__ import annotations

from itertools import combinations_with_replacement
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.sticks.rips import RipWidth, WholeBoard
from tests.strategies.ailing import BEAMS, LAYER, but
from tests.strategies.asking import answered, refused
from tests.strategies.budget import LAW

Request = dict[str, Any]


def beams(overall: float, *, square: bool, **rules: Any) -> Request:
    """One beam of 88 in, sides 5 in and the bottom 6 - 2 x 3/4 = 4-1/2 in, from boards of 8 ft."""
    return but(
        BEAMS,
        ("/surfaces/0/rectangle", [88, 60]),
        (f"{LAYER}/sets", [{"direction": 0, "count": 1}]),
        (f"{LAYER}/width", 6),
        (f"{LAYER}/drop", 5),
        (f"{LAYER}/square_edges", square),
        (f"{LAYER}/rules", rules),
        ("/products/0/overall", overall),
        ("/products/0/stock", [{"length": "8 ft"}]),
    )


def boards(answer: Request) -> int:
    return sum(row["buy"] for row in answer["order"] if row["product"] == "skin")


@pytest.mark.parametrize(("overall", "square", "bought"), [
    (14.75, False, 1), (14.75, True, 2), (14.875, True, 1), (10.125, True, 2), (5.125, True, 3),
])  # fmt: skip
def test_an_edge_is_ripped_off_once_for_all_strips(
    overall: float, square: bool, bought: int
) -> None:
    """5 + 5 + 4-1/2 and two saw cuts are 14-3/4 in: with 1/8 in off an edge 14-7/8 in."""
    assert boards(answered(beams(overall, square=square))) == bought


def test_a_skin_as_wide_as_its_board_leaves_no_edge_to_rip_off() -> None:
    """A side of 5 in from a board of 5 in: 5-1/8 in is wanted; with `edge_trim` 0 it is whole."""
    _, (fault,) = refused(beams(5, square=True))
    assert (fault["code"], fault["limit"]) == ("part-wider-than-board", 4.875)
    assert fault["cure"][0]["value"] == 5.125
    assert boards(answered(beams(5, square=True, edge_trim=0))) == 3


def test_both_edges_of_a_squared_skin_are_sawn() -> None:
    answer = answered(beams(14.875, square=True))
    edges = {row["edge"] for piece in answer["pieces"] for row in piece["work"]}
    assert edges == {"both"}
    noted = {row["key"]: row["value"] for row in answer["basis"] if row["rule"] == "16.7"}
    assert noted == {"square_edges": True, "edge_trim": 0.125}


@LAW
@given(wide=st.integers(1, 40), kerf=st.integers(0, 3), trim=st.integers(0, 4),
       board=st.integers(1, 120))  # fmt: skip
def test_a_board_gives_as_many_strips_as_the_rule_says(
    wide: int, kerf: int, trim: int, board: int
) -> None:
    """floor((board - trim + kerf) / (strip + kerf)), counted by laying them on (16.7)."""
    whole, strip = WholeBoard(board, kerf), RipWidth(wide, trim=trim)
    most = max(0, (board - trim + kerf) // (wide + kerf))
    for count in (most, most + 1):
        (strips,) = combinations_with_replacement([strip], count)
        assert whole.holds(strips) == (count <= most or count == 0 <= board - trim)
