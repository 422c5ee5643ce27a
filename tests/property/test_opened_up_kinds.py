"""Trim, straps and beams that are up when a job changes: what stays, what is made anew (21.4)."""

from __future__ import annotations

import copy
import json
from collections import Counter, defaultdict
from functools import cache
from itertools import pairwise
from math import ceil, isclose
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies.asking import answered
from tests.strategies.budget import FEW
from tests.strategies.changes import asked_change, sound
from tests.strategies.requests import board, changed, job, room
from tests.strategies.strapped import STRAP, strapped

Request = dict[str, Any]
Row = dict[str, Any]

KINDS = Path(__file__).parents[2] / "service/products/kinds"


def made_of(before: Request, after: Request, installed: Any = "everything") -> Request:
    """The change order; a refusal fails the test."""
    found = asked_change({"before": before, "after": after, "installed": installed})
    assert found.kind == "answer", (found.body.decode(), json.dumps([before, after]))
    return sound(json.loads(found.body))


def example(name: str) -> Request:
    request: Request = json.loads((KINDS / f"{name}.json").read_bytes())
    return request


def shown(row: Row) -> tuple[Any, ...]:
    """Where a piece lies and how its ends are cut."""
    return (row["course"], row["near"], row["far"], row["from"], row["to"], *row["ends"])


def parted(made: Request, layer: str) -> dict[str, list[Row]]:
    """The pieces of a layer by what becomes of them."""
    found: dict[str, list[Row]] = {name: [] for name in ("keep", "recut", "remove", "add")}
    for row in made["pieces"]:
        if row["layer"] == layer:
            found[row["do"]].append(row)
    return found


# --- straps ---------------------------------------------------------------------------------------


@given(strapped(hatch=True), st.integers(-12, 12), st.integers(-8, 8), st.booleans())
@FEW
def test_straps_are_what_was_and_what_is_to_be_and_meet_on_members(
    after: Request, right: int, up: int, closed: bool
) -> None:
    """By area, and no two on each other; where two pieces meet a member stands."""
    before = copy.deepcopy(after)
    x, y, *size = after["surfaces"][0]["openings"][0]["rectangle"]
    before["surfaces"][0]["openings"][0]["rectangle"] = [x + right, y + up, *size]
    if closed:
        after = after | {"surfaces": [after["surfaces"][0] | {"openings": []}]}
    made = made_of(before, after)
    own = [row for row in made["pieces"] if row["layer"] == "straps"]
    for side, request in (("was", before), ("is", after)):
        whole = sum(row["area"] for row in answered(request)["pieces"] if row["layer"] == "straps")
        assert isclose(sum(row[f"{side}_area"] for row in own), whole, abs_tol=0.001)
    lines: dict[float, list[Row]] = defaultdict(list)
    for row in own:
        if row["is"]:
            lines[row["near"]].append(row)
    spacing = after["surfaces"][0]["supports"]["spacing"]
    for line in lines.values():
        for a, b in pairwise(sorted(line, key=lambda row: row["from"])):
            assert a["to"] <= b["from"] + 0.001
            if isclose(a["to"], b["from"], abs_tol=0.001):
                assert isclose((a["to"] - 16) % spacing, 0, abs_tol=0.001), (a, b)


@cache
def hatch_closed() -> Request:
    """Straps of 96 in at 24 on centre under joists at 16, 32, 48, 64 and 80 in, and a hatch.

    It takes 92 to 124 and 36 to 60, as cut 91.875 to 124.125 and 35.875 to 60.125, and is closed.
    """
    area = room(200, 96, behind={"direction": 0, "first": 16, "spacing": 16, "thickness": 1.5})
    area["layers"] = [{"id": "straps", "kind": "strapping", "product": "strap", "first": 12,
                       "rules": {"strap_spacing": 24}}]  # fmt: skip
    area["openings"] = [{"id": "hatch", "rectangle": [92, 36, 32, 24]}]
    before = job(area, board("8 ft"), STRAP)
    return made_of(before, changed(before, "/surfaces/0/openings", []))


def test_straps_are_cut_back_to_members_and_not_beside_each_other_on_one() -> None:
    """Lines at 12, 36, 60, 84, 108, 132, 156, 180: that at 108 ended at the hatch, on both sides.

    Its lower piece goes back from 35.875 to the joist at 32, its upper one from 60.125 to that at
    64, and a new one of 32 in meets both. What stood beside the hatch only, one strap on each
    side, is no longer asked for.
    """
    found = parted(hatch_closed(), "straps")
    near = {row["near"] for row in found["recut"]}
    assert near == {108 - 1.25}
    assert [(row["from"], row["to"]) for row in found["recut"]] == [(0, 32), (64, 96)]
    assert [(row["near"], row["from"], row["to"]) for row in found["add"]] == [(106.75, 32, 64)]
    assert len(found["remove"]) == 2


# --- trim -----------------------------------------------------------------------------------------


def test_a_frame_is_made_anew_and_the_crown_stays() -> None:
    """The hatch of 14.5 x 30 moves 9 in: four pieces go, and four as long are new.

    Each is as long as its side with twice the reveal of 1/8 and twice the width of 2-1/2 (17.3):
    14.5 + 5.25 = 19.75 and 30 + 5.25 = 35.25, two of each: 110 in of one stick of 16 ft.
    """
    before = example("trim/examples/den")
    after = changed(before, "/surfaces/0/openings/0/rectangle/0", 89.75)
    made = made_of(before, after)
    found = parted(made, "casing")
    assert not found["keep"]
    assert not found["recut"]
    assert sorted(row["length"] for row in found["add"]) == [19.75, 19.75, 35.25, 35.25]
    assert Counter(row["length"] for row in found["add"]) == (
        Counter(row["length"] for row in found["remove"])
    )
    crown = parted(made, "crown")
    assert crown["keep"]
    assert not crown["remove"]
    assert not crown["add"]
    assert {row["product"]: row["more"] for row in made["order"]}["casing"] == 1


def test_walls_that_do_not_move_keep_their_crown() -> None:
    """The right wall of an L turns out 4 in further: its own length moves, two grow, three stay."""
    before = example("trim/examples/den")
    after = changed(before, "/surfaces/0/outline/1", [264, 0])
    after = changed(after, "/surfaces/0/outline/2", [264, 96])
    made = made_of(before, after, [{"layer": "crown"}, {"layer": "casing"}])
    found = parted(made, "crown")
    edges = {row["number"]: row["edges"] for row in answered(after)["trim_lengths"]
             if row["layer"] == "crown"}  # fmt: skip
    assert {edge for row in found["add"] for edge in edges[row["course"]]} == {0, 1, 2}
    assert {edge for row in found["keep"] for edge in edges[row["course"]]} == {3, 4, 5}
    whole = Counter(shown(row) for row in answered(after)["pieces"] if row["layer"] == "crown")
    assert {row["course"] for row in found["keep"] + found["add"]} == {one[0] for one in whole}
    assert {row["do"] for row in made["pieces"] if row["layer"] == "casing"} == {"keep"}


@pytest.mark.parametrize(("out", "cut"), [(248, True), (256, True), (258, False), (264, False)])
def test_a_wall_that_became_shorter_has_its_own_crown_cut(out: int, cut: bool) -> None:
    """The wall from 260 to 180 runs from an inside to an outside corner, which adds the projection.

    17.1: 80 + 2.125 = 82.125 in, and so much less as the right wall comes in: 70.125 at 248. The
    coped end is cut anew behind all of the old one, 2.125 in at least. The long wall opposite is of
    two pieces: the scarf on the joist at 80 stays, and so does the first piece; the second laps it
    by half of 9/16, as a saw is set 5/16 (7.1), and is cut: 248 - 80 + 5/16 = 168.3125.
    """
    before = example("trim/examples/den")
    after = changed(before, "/surfaces/0/outline/1", [out, 0])
    after = changed(after, "/surfaces/0/outline/2", [out, 96])
    made = made_of(before, after, [{"layer": "crown"}])
    found = parted(made, "crown")
    assert [(row["course"], row["length"]) for row in found["recut"]] == (
        [(1, out - 80 + 0.3125), (3, out - 180 + 2.125)] if cut else []
    )
    new = {row["course"] for row in found["add"]}
    assert new == {2} if cut else {1, 2, 3}
    assert ((1, 0, 80) in {(row["course"], row["from"], row["to"]) for row in found["keep"]}) == cut
    told = [row["text"] for row in made["steps"] if row["do"] == "recut"]
    assert [text.startswith("Take off 2 sticks (crown), cut to the new length and put back")
            for text in told] == [True] * cut  # fmt: skip
    # Two rows at 16 in, 1-1/2 in off the ends (18.1), as if the pieces were new.
    again = sum(row["count"] for row in made["work"]["fasteners"]
                if (row["layer"], row["where"]) == ("crown", "length put back"))  # fmt: skip
    points = [ceil((row["length"] - 3) / 16) + 1 for row in found["recut"]]
    assert again == 2 * sum(points)
    whole = sum(row["area"] for row in answered(after)["pieces"] if row["layer"] == "crown")
    own = [row for row in made["pieces"] if row["layer"] == "crown"]
    assert isclose(sum(row["is_area"] for row in own), whole, abs_tol=1e-3)


@pytest.mark.parametrize(("corners", "axis", "by"), [((4, 5), 1, 4), ((0, 5), 0, 8)])
def test_a_new_length_at_a_corner_takes_no_id_of_one_that_stays(
    corners: tuple[int, int], axis: int, by: int
) -> None:
    """Two lengths begin at the corner where a wall moves; the one that stays keeps its id."""
    before = after = example("trim/examples/den")
    for corner in corners:
        path = f"/surfaces/0/outline/{corner}/{axis}"
        after = changed(after, path, before["surfaces"][0]["outline"][corner][axis] + by)
    found = parted(made_of(before, after, [{"layer": "crown"}]), "crown")
    assert all(row["was"] == row["is"] for row in found["keep"])
    assert any(row["is"].endswith("~2") for row in found["add"])


# --- beams ----------------------------------------------------------------------------------------


def test_beams_that_do_not_move_stay_and_of_others_every_part_is_made_anew() -> None:
    """One butting set of two beams gets a third: they move, and the beam they butt into does not.

    16.2: three beams of 7.5 in 380 leave four bays of 89.375, so none stands where two did. Before,
    2 beams x 2 segments x 3 skins and their cores; after, 3 x 2 of each.
    """
    before = example("box_beams/examples/veranda")
    after = changed(before, "/surfaces/0/layers/0/sets/1/count", 3)
    made = made_of(before, after, [{"layer": "beams"}])
    found = parted(made, "beams")
    through = {row["beam"] for row in answered(before)["beams"] if row["lies"] == "through"}
    assert {row["course"] for row in found["keep"]} == through
    assert not through & {row["course"] for row in found["remove"] + found["add"]}
    assert len(found["remove"]) == 2 * 2 * 4
    assert len(found["add"]) == 3 * 2 * 4
    assert sum(row["is_area"] for row in found["keep"] + found["add"]) == pytest.approx(
        sum(row["area"] for row in answered(after)["pieces"] if row["layer"] == "beams")
    )


def test_a_beam_whose_wall_comes_in_is_cut_at_that_end() -> None:
    """380 becomes 368 in: of each skin and the core of the through beam the last piece loses 12 in.

    The two butting beams stand elsewhere, by 16.2, and are made anew. Skins come off before the
    cores in them, and go on after.
    """
    before = example("box_beams/examples/veranda")
    after = changed(before, "/surfaces/0/rectangle/0", 368)
    made = made_of(before, after, [{"layer": "beams"}])
    found = parted(made, "beams")
    was = {row["id"]: row for row in answered(before)["pieces"]}
    ends = {row["was"]: row["length"] for row in found["recut"]}
    assert ends == {
        name: row["length"] - 12
        for name, row in was.items()
        if row["layer"] == "beams" and row["course"] == 1 and row["to"] == 380
    }
    assert len(ends) == 4
    assert {row["course"] for row in found["keep"]} == {1}
    assert {row["course"] for row in found["remove"] + found["add"]} == {2, 3}
    assert sum(row["is_area"] for row in made["pieces"] if row["layer"] == "beams") == (
        pytest.approx(sum(r["area"] for r in answered(after)["pieces"] if r["layer"] == "beams"))
    )
    told = [row["text"] for row in made["steps"] if row["layer"] == "beams"]
    assert [text.partition(" (")[0] for text in told] == [
        "Take down 12 boards", "Take off 3 boards", "Take down 4 sticks", "Take off 1 stick",
        "Fit 4 new sticks", "Fit 12 new boards",
    ]  # fmt: skip


@pytest.mark.parametrize("up", ["core", "skin"])
def test_of_beams_that_are_up_in_part_the_rest_is_made(up: str) -> None:
    """As a rule the cores hang first."""
    before = example("box_beams/examples/veranda")
    pieces = [row for row in answered(before)["pieces"] if row["layer"] == "beams"]
    made = made_of(before, before, [{"pieces": [r["id"] for r in pieces if r["product"] == up]}])
    own = [row for row in made["pieces"] if row["layer"] == "beams"]
    assert Counter(shown(row) for row in own) == Counter(map(shown, pieces))
    assert all(row["do"] == "keep" for row in own)
    assert {row["product"] for row in own if row["is_up"]} == {up}
    assert {row["product"] for row in made["work"]["sticks"]} == {"core", "skin", "pine"} - {up}


def test_what_is_hung_as_one_is_up_as_one() -> None:
    """Of a wall of two pieces one is said to be up: nobody knows where the other is to begin."""
    before = example("trim/examples/den")
    rows = [row for row in answered(before)["pieces"] if row["layer"] == "crown"]
    runs = Counter(row["course"] for row in rows)
    (first, *_) = [row["id"] for row in rows if runs[row["course"]] > 1]
    request = {"before": before, "after": before, "installed": [{"pieces": [first]}]}
    found = asked_change(request)
    assert found.kind == "TradeRefused"
    (fault,) = json.loads(found.body)["faults"]
    assert (fault["code"], fault["pointer"]) == (
        "cannot-be-opened", "/after/surfaces/0/layers/1",
    )  # fmt: skip
