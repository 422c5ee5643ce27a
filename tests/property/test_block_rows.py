"""Rows of blocks as all that boards along the framing bear on (15.2), by plain geometry."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, box
from shapely.ops import unary_union

from tests.independent import nailing, verifier
from tests.independent.asked import Layer, laid
from tests.independent.json_patch import patched
from tests.independent.measure import INCH, ticks
from tests.strategies import jobs, requests
from tests.strategies.asking import answered, asked, refused
from tests.strategies.budget import FEW

Request = dict[str, Any]

VERANDA = [0.75, *range(16, 369, 16), 379.25]
"""Centres of the joists of the reference veranda, 122 x 380 in (0.6)."""


def veranda(**layer: Any) -> Request:
    """Its boards laid along its joists, with no panel behind them."""
    room = requests.room(
        380, 122, behind={"direction": 90, "at": VERANDA, "thickness": 1.5},
        layer={"direction": 90, "blocks": True} | layer,
    )  # fmt: skip
    return requests.job(room, requests.board("8 ft", "12 ft"))


def blocks(answer: Request) -> Counter[float]:
    """How many blocks of rows there are of each length."""
    return Counter(row["length"] for row in answer["backing"] if row["for"] == "row")


def nailed(answer: Request) -> dict[str, int]:
    """Fasteners of the boards by place."""
    found = {"blind": 0, "face": 0}
    for row in answer["fasteners"]:
        found[row["place"]] += row["count"] if row["where"] != "backing" else 0
    return found


@pytest.mark.parametrize(("more", "rows"), [
    ({"rules": {"block_spacing": 24}, "plates": True}, 5),
    ({"rules": {"block_spacing": 24}}, 7),
    ({}, 9),
])  # fmt: skip
def test_rows_of_the_reference_veranda(more: Request, rows: int) -> None:
    """122 - 1.5 = 120.5: 24 in apart 6 bays and 7 rows, 5 with plates; 16 in apart 9 rows (15.2).

    Clear bays of a row: 16 - 1.5 = 14.5 between 22 of the 24 pairs, 16 - 0.75 - 1.5 = 13.75 at the
    low end, 379.25 - 368 - 1.5 = 9.75 at the high one. Five rows: 5 x (22 x 14.5 + 13.75 + 9.75) =
    1 712.5 in = 142.7 ft.
    """
    answer = answered(veranda(**more))
    assert blocks(answer) == {14.5: 22 * rows, 13.75: rows, 9.75: rows}
    if rows == 5:
        assert sum(row["length"] for row in answer["backing"]) == 1712.5


def small(at: list[float], **more: Any) -> Request:
    """48 x 60 in with joists there, and rows at 3/4, 16, 30, 44 and 59-1/4 in behind its boards."""
    room = requests.room(
        48, 60, behind={"direction": 90, "at": at, "thickness": 1.5},
        layer={"direction": 90, "blocks": True}, **more,
    )  # fmt: skip
    return requests.job(room, requests.board("8 ft", "12 ft"))


def test_a_gap_between_two_joists_that_holds_no_block_has_none() -> None:
    """Of 2-1/2 in one is cut, of 1-1/2 in, as wide as a joist, none (15.1, 15.3)."""
    answer = answered(small([0.75, 16, 20, 32, 35, 47.25]))
    assert blocks(answer) == {13.75: 5, 2.5: 5, 10.5: 5, 10.75: 5}


def test_a_row_ends_at_an_opening() -> None:
    """A hatch from 20 to 30, 25 to 37: of the row at 30 the bay from 16-3/4 to 31-1/4 keeps 3-1/4.

    On its other side 1-1/4 in is left, which holds no block (15.2).
    """
    hatch = {"id": "hatch", "rectangle": [20, 25, 10, 12], "cut_gap": 0}
    answer = answered(small([0.75, 16, 32, 47.25], openings=[hatch]))
    middle = [(row["from"][0], row["to"][0]) for row in answer["backing"]
              if row["for"] == "row" and row["from"][1] == 30]  # fmt: skip
    assert middle == [(1.5, 15.25), (16.75, 20), (32.75, 46.5)]
    assert blocks(answer) == {13.75: 10, 14.5: 4, 3.25: 1}


def test_every_board_is_nailed_at_every_row() -> None:
    """74 courses of one board over 7 rows: 1 and 1 face in the first, 2 face in the last (18.3).

    380 - 2 x 1/2 = 379 in: 379 / 5-1/8 = 73 and 4-7/8 left: 74 courses, the last over 4 in wide.
    """
    answer = answered(veranda(rules={"block_spacing": 24}))
    assert nailed(answer) == {"blind": 73 * 7, "face": 7 + 2 * 7}
    assert {row["bearings"] for row in answer["pieces"]} == {7}


def test_boards_meet_on_rows_alone_and_only_where_blocks_may_carry_joints() -> None:
    """Along joists 380 in long no board reaches: they meet on rows; on `framing` they cannot."""
    room = requests.room(380, 60, behind=requests.supports(direction=0), layer={"blocks": True})
    answer = answered(requests.job(room, requests.board("8 ft", "12 ft")))
    rows = {0.75, *range(16, 369, 16), 379.25}  # 378.5 / 16 = 23.7: 24 bays, on the tape's 16s
    assert answer["joints"]
    for joint in answer["joints"]:
        assert joint["on"] == "block"
        assert min(abs(joint["at"] - at) for at in rows) < 1e-3
    assert not [row for row in answer["backing"] if row["for"] == "joint"]
    room["layers"][0]["joints"] = "framing"
    request = requests.job(room, requests.board("8 ft", "12 ft"))
    _, (fault,) = refused(request)
    assert (fault["code"], fault["rule"]) == ("no-member-crossed", "15.2")
    assert answered(patched(request, fault["cure"]))["joints"] == answer["joints"]


def test_boards_that_nothing_bears_are_offered_rows_of_blocks() -> None:
    """The cure keeps the direction that was asked for (15.2); on straps it turns the boards."""
    bare = veranda(blocks=False)
    _, (fault,) = refused(bare)
    assert (fault["code"], fault["cure"][0]["path"]) == (
        "no-bearing", "/surfaces/0/layers/0/blocks",
    )  # fmt: skip
    cured = answered(patched(bare, fault["cure"]))
    assert {row["code"] for row in cured["findings"]} >= {"held-by-blocks"}
    assert not {row["code"] for row in cured["findings"]} & {"ends-hang", "held-by-panel"}
    strap = {"id": "strap", "form": "lumber", "width": 2.5, "thickness": 0.75,
             "stock": [{"length": "16 ft"}]}  # fmt: skip
    strapped = veranda(direction=0) | {"products": [requests.board("16 ft"), strap]}
    strapped["surfaces"][0]["layers"].insert(0, {"kind": "strapping", "product": "strap"})
    _, (fault,) = refused(strapped)
    assert fault["cure"][0]["path"] == "/surfaces/0/layers/1/direction"


def test_rows_under_a_taper_stand_square_to_the_direction_that_was_asked_for() -> None:
    """Boards lie along the bisector, blocks do not: 64 in wide at one end, 66 at the other.

    178.5 / 12 = 14.9: rows every 15 in. Courses meet where their middles cross a row.
    """
    room = requests.room(180, 64, behind=requests.supports(direction=0), layer={"blocks": True})
    room["outline"] = [[0, 0], [180, 0], [180, 66], [0, 64]]
    del room["rectangle"]
    request = requests.job(room, requests.board("8 ft", "12 ft"))
    answer = answered(request)
    assert {"taper", "held-by-blocks"} <= {row["code"] for row in answer["findings"]}
    assert answer["joints"]
    assert verifier.faults(request, answer) == []
    stand = {row["from"][0] for row in answer["backing"] if row["for"] == "row"}
    assert stand == {0.75, *range(15, 166, 15), 179.25}
    assert blocks(answer) == {15.25: 13, 14.5: 39}  # joists at 16, 32, 48; the last is the wall's


@pytest.mark.parametrize(("gap", "ends"), [(0.75, 0.75), (2, 2)])
def test_boards_end_on_the_middle_of_a_row_however_wide_the_gap(gap: float, ends: float) -> None:
    """A gap over half a block would leave the first row bare: it moves in with the ends (15.2)."""
    answer = answered(veranda(rules={"gap": gap, "block_spacing": 24}))
    stand = {row["from"][1] for row in answer["backing"] if row["for"] == "row"}
    assert (min(stand), max(stand)) == (ends, 122 - ends)
    assert {row["bearings"] for row in answer["pieces"]} == {len(stand)}
    assert not {row["code"] for row in answer["findings"]} & {"ends-hang"}


@st.composite
def along(draw: st.DrawFn) -> Request:
    """A room boarded along its members, on rows of blocks and nothing else."""
    request: Request = draw(st.one_of(jobs.rectangular(), jobs.with_openings(), jobs.ringed()))
    surface = request["surfaces"][0]
    surface["supports"]["direction"] = surface["layers"][0]["direction"]
    surface["layers"][0] |= {"blocks": True, "plates": draw(st.booleans())}
    rules = {**(request.get("rules") or {}), "block_spacing": draw(st.sampled_from([12, 16, 24]))}
    return request | {"rules": rules, "when_blocked": "relax"}


@FEW
@given(request=along())
def test_blocks_fill_the_clear_bays_of_each_row_and_carry_all_boards(request: Request) -> None:
    """Rows less openings and members, by a geometry library; joints and touches by the verifier."""
    assume(asked(request).kind == "answer")
    answer = answered(request)
    (layer,) = laid(request, answer)
    assert verifier.faults(request, answer) == []
    assert not {row["code"] for row in answer["findings"]} & {"ends-hang", "blocks-needed"}
    rows = layer.block_rows[1:-1] if layer.layer["plates"] else layer.block_rows
    clear = [part for at in rows for part in _clear_bays(layer, answer, at)]
    unit = answer["units"]["length"]
    stated = [ticks(row["length"], unit) for row in answer["backing"] if row["for"] == "row"]
    # Those near an opening's own blocks are one with them (15.8): fewer may stand, never others.
    assert len(stated) <= len(clear)
    if not layer.surface.get("openings"):
        assert len(stated) == len(clear)
        assert sorted(stated) == pytest.approx(sorted(clear), abs=INCH / 60)  # as printed
        if not any(row["where"] == "nailer" for row in answer["fasteners"]):
            driven = nailing.driven(layer, answer)
            assert nailed(answer) == {"blind": driven.blind, "face": driven.face}


def _clear_bays(layer: Layer, answer: Request, at: float) -> list[float]:
    """Lengths that members and openings leave of the line of a row, over 1-1/2 in."""
    unit = answer["units"]["length"]
    _, near, _, far = layer.outline.bounds
    members = unary_union([
        LineString([layer.frame.station((ticks(x, unit), ticks(y, unit))) for x, y in row["line"]])
        .buffer(ticks(row["thickness"], unit) / 2, cap_style="square")
        for row in answer["members"]
    ])  # fmt: skip
    cut = layer.frame.moved(unary_union(layer.seen.cut)) if layer.seen.cut else box(0, 0, 0, 0)
    line = LineString([(at, near - INCH), (at, far + INCH)]).intersection(layer.outline)
    left_over = line.difference(members).difference(cut)
    parts = getattr(left_over, "geoms", [left_over])
    return [part.length for part in parts if part.length > 3 * INCH / 2]


def test_blocks_over_a_beam_between_members_stand_by_the_tape() -> None:
    """162 in wide: 160.5 / 16 = 10.03, 11 bays of 14.59; every 15 in, 11-1/4 in left at the top.

    Those at 60 and 105 in lie within 3 in of one beside a crossing, and are one with it (15.8).
    """
    file = Path("service/products/kinds/box_beams/examples/coffers.json")
    answer = answered(json.loads(file.read_bytes()))
    stand = {row["from"][1] for row in answer["backing"] if row["for"] == "beam"}
    assert stand >= {0.75, *(15 * k for k in (1, 2, 3, 5, 6, 8, 9, 10)), 161.25}
    assert not stand & {60, 105}
    # Faces of the beams that cross are 3-9/16 in off 53.979 and 108.021, blocks 3/4 in beyond.
    beside = {round(at, 2) for at in (53.979 - 4.3125, (53.979 + 4.3125 + 60) / 2,
                                      (108.021 - 4.3125 + 105) / 2, 108.021 + 4.3125)}  # fmt: skip
    assert beside <= {round(at, 2) for at in stand}


def test_a_beam_across_the_members_has_blocks_where_others_cross_it_and_at_its_ends() -> None:
    """Where no joist is: at two of three crossings, and 3/4 in from walls without one (15.6)."""
    file = Path("service/products/kinds/box_beams/examples/coffers.json")
    request = json.loads(file.read_bytes())
    ends = dict[bool, list[int]]()
    for at_walls in (True, False):
        request["surfaces"][0]["supports"]["ends"] = at_walls
        rows = answered(request)["beams"]
        ends[at_walls] = [row["blocks"] for row in rows if row["lies"] == "through"]
    assert ends[True] == [2] * 4
    assert ends[False] == [4] * 4
