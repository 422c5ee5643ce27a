"""Skins with square edges: 1/8 in off an eased edge of each board or sheet, once (16.7)."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations_with_replacement
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.sheets.nesting import Part, SheetStock
from service.cutting.sticks.rips import RipWidth, WholeBoard
from service.products.goods.sheet.squared import planned_for
from tests.independent.sheet_verifier import sheet_faults
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


FULL = SheetStock("full", 96, 48, 1)
STRIPS = st.dictionaries(
    st.builds(Part, st.integers(6, 96), st.integers(4, 46)),
    st.integers(1, 4),
    min_size=1,
    max_size=3,
)


@LAW
@given(skins=STRIPS, panels=STRIPS | st.just({Part(96, 48): 2}), trim=st.integers(1, 2),
       kerf=st.integers(0, 2))  # fmt: skip
def test_only_sheets_without_that_edge_yield_squared_strips(
    skins: dict[Part, int], panels: dict[Part, int], trim: int, kerf: int
) -> None:
    """Each sheet can be sawn, its edge first; no more are taken than for each kind alone (16.7)."""
    groups = {0: Counter(panels), trim: Counter(skins)}
    plan = planned_for(groups, [FULL], kerf, EFFORTS["quick"])
    assert plan is not None
    placed: dict[int, Counter[Part]] = {0: Counter(), trim: Counter()}
    for sheet in plan.sheets:
        boxes = [(one.at, one.across, one.part.length, one.part.width) for one in sheet.placed]
        assert not sheet_faults(96, 48, kerf, boxes, sheet.rests, sheet.kerf)
        assert all(box[1] >= sheet.trim for box in boxes)
        placed[sheet.trim].update(one.part for one in sheet.placed)
    assert placed[0] + placed[trim] == groups[0] + groups[trim]
    assert placed[trim] >= groups[trim]
    alone = [planned_for({t: own}, [FULL], kerf, EFFORTS["quick"]) for t, own in groups.items()]
    assert plan.bound <= plan.cost <= sum(one.cost for one in alone if one is not None)


@pytest.mark.parametrize(("supply", "sheets"), [(None, 2), (2, 2), (1, None)])
def test_sheets_at_hand_are_shared_by_both(supply: int | None, sheets: int | None) -> None:
    """A whole sheet and three strips of 15 in: 45 and two cuts of 1 are 47, beside an edge 48."""
    groups = {0: Counter({Part(96, 48): 1}), 1: Counter({Part(96, 15): 3})}
    plan = planned_for(groups, [replace(FULL, supply=supply)], 1, EFFORTS["quick"])
    assert (len(plan.sheets) if plan else None) == sheets


def test_panels_lie_beside_skins_in_a_sheet_without_its_edge() -> None:
    """One beam of 88 in, 5 + 5 + 4-1/2 in, under panels in rows of 48 and 12 in, both 88 long.

    14-1/2 of strips, two cuts, another and the panel of 12 are 26-7/8 in: with the edge 27, of 48.
    """
    sheet = {"id": "skin", "form": "sheet", "width": 48, "thickness": 0.75,
             "stock": [{"length": 88}]}  # fmt: skip
    panels = {"kind": "sheathing", "product": "skin", "direction": 0,
              "rules": {"panel_wall_gap": 0, "panel_gap": 0}}  # fmt: skip
    job = but(beams(14.75, square=True), ("/products/0", sheet), (f"{LAYER}/mode", "boards_over"))
    job["surfaces"][0]["layers"].insert(0, panels)
    answer = answered(job)
    assert boards(answer) == 2
    own = {row["id"]: row for row in answer["pieces"]}
    for row in answer["sheets"]:
        cut = [(own[name]["length"], own[name]["width"]) for name in row["pieces"]]
        assert cut == [(long, wide) for _, _, long, wide in row["boxes"]]
    shared = max(answer["sheets"], key=lambda row: len(row["pieces"]))
    assert shared["steps"][0].startswith('rip 1/8" off one long edge of the sheet')
    assert len(shared["pieces"]) == 4
