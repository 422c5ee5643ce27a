"""End joints of sheets in the same lines over all rows, under one strip (12.3)."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import box
from shapely.ops import unary_union

from tests.independent.json_patch import patched
from tests.strategies.ailing import AILING
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW

Request = dict[str, Any]

STRIP = {"id": "strip", "form": "lumber", "width": 1, "thickness": 0.5,
         "stock": [{"length": 144}]}  # fmt: skip


def wall(length: float, height: float, *sheets: float, **layer: Any) -> Request:
    """A wall with upright sheets of 48 in that show, a strip over their end joints."""
    bead = {"id": "bead", "form": "sheet", "width": 48, "thickness": 0.25,
            "beads": {"pitch": 1.5}, "stock": [{"length": one} for one in sheets]}  # fmt: skip
    own = {"id": "bead", "kind": "sheathing", "product": "bead", "end_joints": "level",
           "strips": {"ends": "strip"}} | layer  # fmt: skip
    surface = {"id": "wall", "type": "wall", "rectangle": [length, height], "layers": [own],
               "supports": {"direction": 90, "spacing": 16, "ends": True}}  # fmt: skip
    return {"unit": "in", "surfaces": [surface], "products": [bead, STRIP]}


def marks(answer: Request) -> set[float]:
    return {row["at"] for row in answer["joints"] if row["layer"] == "bead"}


def strips(answer: Request) -> list[float]:
    return [row["length"] for row in answer["pieces"] if row["product"] == "strip"]


def test_whole_sheets_from_the_floor_and_one_strip_over_all() -> None:
    """144 x 130 in, 1/8 in at the walls: sheets of 96 in from 1/8 to 96-1/8, 33-3/4 in above.

    Three rows of 48 in less the gaps: 143-3/4 in of strip in one piece, three joints in one line.
    """
    answer = answered(wall(144, 130, 96))
    assert marks(answer) == {96.125}
    assert len(answer["joints"]) == 3
    lengths = sorted(row["length"] for row in answer["pieces"] if row["product"] == "bead")
    assert lengths == pytest.approx([33.75] * 3 + [96] * 3, abs=1 / 16)
    assert strips(answer) == pytest.approx([143.75], abs=1 / 16)


def test_the_last_line_moves_back_where_too_little_is_left() -> None:
    """108 in: 11-3/4 in over whole sheets are under 24 in; 83-3/4 + 24, or 53-7/8 twice.

    Three rows: three sheets of 83-3/4 in and three pieces of 24 in, of one more: four sheets. Twice
    53-7/8 in are 107-3/4, over a sheet: six.
    """
    answer = answered(wall(144, 108, 96))
    assert list(marks(answer)) == pytest.approx([107.875 - 24], abs=1e-3)
    assert [row["buy"] for row in answer["order"] if row["product"] == "bead"] == [4]


def test_sheets_across_studs_meet_in_one_line_of_studs() -> None:
    """Sheets lying level, 200 in long, studs at 16 in: whole ones reach the stud at 96."""
    lying = wall(200, 96, 96, direction=0)
    answer = answered(lying)
    (at, *more) = sorted(marks(answer))
    assert at % 16 == 0
    assert all(one % 16 == 0 for one in more)
    by_row = defaultdict(set)
    for row in answer["joints"]:
        by_row[row["course"]].add(row["at"])
    assert len({tuple(sorted(one)) for one in by_row.values()}) == 1
    staggered = answered(wall(200, 96, 96, direction=0, end_joints="staggered"))
    assert len(marks(staggered)) > len(marks(answer))


def test_no_line_for_all_rows_is_refused_with_its_cure() -> None:
    """Two rows of 165 in, 35 in apart, pieces of 80 in at least: 80 to 85 and 115 to 120 in."""
    request = AILING["joints-not-level"]
    _, (fault,) = refused(request)
    assert (fault["code"], fault["rule"]) == ("joints-not-level", "12.3")
    mended = answered(patched(request, fault["cure"]))
    by_row = {row["course"]: row["at"] for row in mended["joints"]}
    assert 80 <= by_row[1] <= 85
    assert 115 <= by_row[2] <= 120


@FEW
@given(length=st.integers(60, 220), height=st.integers(100, 260),
       sheets=st.sampled_from([(96,), (96, 120), (144,)]))  # fmt: skip
def test_all_rows_are_jointed_in_the_same_lines(
    length: int, height: int, sheets: tuple[int, ...]
) -> None:
    """Every row has the same joints, the pieces cover the wall, the strips run over all of it."""
    answer = answered(wall(length, height, *sheets))
    by_row: dict[int, set[float]] = defaultdict(set)
    for row in answer["joints"]:
        by_row[row["course"]].add(row["at"])
    rows = len({row["course"] for row in answer["courses"]})
    assert len({frozenset(one) for one in by_row.values()}) <= 1
    assert len(by_row) in (0, rows)
    pieces = [row for row in answer["pieces"] if row["product"] == "bead"]
    assert max(row["length"] for row in pieces) <= max(sheets)
    assert not by_row or min(row["length"] for row in pieces) >= 24 - 1 / 8
    laid = unary_union([
        box(one["from"], min(one["near"], one["far"]), one["to"], max(one["near"], one["far"]))
        .buffer(0.07)
        for one in pieces
    ])  # fmt: skip
    assert laid.area >= (length - 0.25) * (height - 0.25)
    assert sum(strips(answer)) == pytest.approx(
        len(marks(answer)) * (length - 0.25), abs=0.2 * (1 + len(marks(answer)))
    )
