"""Cutting alone with ends as the mill matched them: each lies at its own end of a stick (7.2)."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import cut_alone
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW

Request = dict[str, Any]
FIRST, LAST, WHOLE = ["covered", "matched"], ["matched", "covered"], ["matched", "matched"]


def floor(*pieces: tuple[float, int, list[str]], **more: Any) -> Request:
    return {
        "unit": "in", "profile": "tongue_and_groove", "stock": [{"length": "8 ft"}],
        "pieces": [{"id": f"p{k}", "length": length, "count": count, "ends": ends}
                   for k, (length, count, ends) in enumerate(pieces, 1)],
    } | more  # fmt: skip


def cut(request: Request) -> Request:
    """The answer, after the verifier found nothing wrong with it."""
    told = answered(request, "cut-plans")
    assert cut_alone.faults(request, told) == []
    return told


def test_a_first_and_a_last_piece_share_a_board_and_two_first_ones_do_not() -> None:
    """40 + 1/8 + 40 is less than 96. A run ends where the board of its last piece was begun.

    First pieces need the mill's right end, last ones its left: two of a kind never share a board,
    and a whole one is a board: 3 firsts, 3 lasts and 2 wholes take 3 + 2 boards; 3 firsts take 3.
    """
    assert cut(floor((40, 3, FIRST), (40, 3, LAST), (96, 2, WHOLE)))["summary"]["sticks"] == 5
    assert cut(floor((40, 3, FIRST)))["summary"]["sticks"] == 3
    assert cut(floor((40, 3, ["covered", "covered"])))["summary"]["sticks"] == 2


@FEW
@given(
    st.lists(
        st.tuples(st.integers(16, 70), st.sampled_from([FIRST, LAST, ["covered", "covered"]])),
        min_size=1, max_size=6,
    )
)  # fmt: skip
def test_no_way_to_cut_pieces_with_matched_ends_takes_fewer_boards(
    pieces: list[tuple[int, list[str]]],
) -> None:
    """Every set of pieces that a board of 96 holds, with one of each end at most, is tried."""
    told = cut(floor(*((length, 1, ends) for length, ends in pieces)))
    (plan,) = told["cut_plans"]
    least = 96 * fewest(tuple(range(len(pieces))), pieces)
    assert plan["bound"] <= least <= plan["cost"]
    assert not plan["optimal"] or plan["cost"] == least


def fewest(left: tuple[int, ...], pieces: list[tuple[int, list[str]]]) -> int:
    if not left:
        return 0
    first, *others = left
    return 1 + min(
        fewest(tuple(k for k in others if k not in some), pieces)
        for count in range(len(others) + 1)
        for some in combinations(others, count)
        if holds([pieces[k] for k in (first, *some)])
    )


def holds(some: list[tuple[int, list[str]]]) -> bool:
    ends = [own for _, own in some]
    return sum(length for length, _ in some) + (len(some) - 1) / 8 <= 96 and all(
        sum(own[side] == "matched" for own in ends) <= 1 for side in (0, 1)
    )


@pytest.mark.parametrize(
    ("pointer", "request_"),
    [
        ("/pieces/1/ends", floor((40, 1, FIRST), (40, 1, ["square", "covered"]))),
        ("/pieces/0/length", floor((90, 1, WHOLE))),
        ("/owned/0/ends", floor((40, 1, FIRST),
                                owned=[{"length": 60, "count": 1, "ends": ["cut", "raw"]}])),
        ("/rules/wall_trim", floor((40, 1, FIRST), rules={"wall_trim": 0.25})),
    ],
)  # fmt: skip
def test_what_does_not_go_with_matched_ends_is_told_where_it_was_sent(
    pointer: str, request_: Request
) -> None:
    kind, (fault,) = refused(request_, "cut-plans")
    assert (kind, fault["code"], fault["pointer"]) == ("ShapeRefused", "matched", pointer)
