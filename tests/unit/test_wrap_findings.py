"""Wrap that cannot be laid, or lies so that water gets behind it: each said, each cure applied.

Laps of 13.1 to 13.4; common practice, the numbers are arithmetic.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.independent.json_patch import patched
from tests.strategies.asking import answered, refused
from tests.strategies.requests import changed

Request = dict[str, Any]
LAYER = "/surfaces/0/layers/0"

JOB: Request = {
    "unit": "in",
    "surfaces": [
        {
            "id": "loft",
            "view": "facing",
            "rectangle": [240, 144],
            "supports": {"direction": 90, "spacing": 16},
            "layers": [{"kind": "wrap", "product": "roll", "tape": "tape"}],
        }
    ],
    "products": [
        {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft"}]},
        {"id": "tape", "form": "tape", "width": 10, "length": "165 ft"},
    ],
}
SLOPED = JOB | {"surfaces": [JOB["surfaces"][0] | {"slope": {"rise": 4, "run": 12, "up": 90}}]}
WALL = JOB | {"surfaces": [JOB["surfaces"][0] | {"type": "wall"}]}


def but(*edits: tuple[str, Any], job: Request = JOB) -> Request:
    """A job with values put at pointers."""
    for pointer, value in edits:
        job = changed(job, pointer, value)
    return job


def said(request: Request) -> set[str]:
    """The codes of an answer's findings."""
    return {row["code"] for row in answered(request)["findings"]}


REFUSALS: dict[str, list[tuple[str, Any]]] = {
    "roll-too-narrow": [("/products/0/width", 5)],
    "roll-too-narrow, by a little": [("/products/0/width", 6)],
    "roll-too-narrow, hardly a roll": [("/products/0/width", 1)],
    "too-many-widths": [("/products/0/width", 6.01)],
    "too-many-widths, at any lap": [
        ("/surfaces/0/rectangle", ["600 ft", "600 ft"]),
        ("/surfaces/0/supports/spacing", 48),
        ("/products/0/width", 7),
        ("/products/0/stock/0/length", "1500 ft"),
    ],
    "roll-too-short": [("/products/0/stock/0/length", 6)],
    "stock-short": [("/products/0/stock/0/on_hand", 0)],
}


@pytest.mark.parametrize("case", REFUSALS)
def test_a_refusal_says_what_and_its_cure_works(case: str) -> None:
    request = but(*REFUSALS[case])
    _, faults = refused(request)
    (fault,) = [one for one in faults if one["code"] != "unit-slip"]
    assert fault["code"] == case.partition(",")[0]
    if len(faults) > 1:  # what may be a slip of units gets no cure that would let it through
        assert "cure" not in fault
    else:
        answered(patched(request, fault["cure"]))


def test_a_layer_is_made_of_a_roll_and_not_of_its_tape() -> None:
    _, (fault,) = refused(but((f"{LAYER}/product", "tape")))
    assert (fault["code"], fault["pointer"]) == ("wrong-form", f"{LAYER}/product")


@pytest.mark.parametrize("job", [SLOPED, WALL], ids=["slope", "wall"])
def test_level_widths_from_the_low_side_shed_water(job: Request) -> None:
    assert "laps-shed-water" in said(job)
    assert answered(job)["layers"][0]["direction"] == 0


WRONG_WAYS = {
    "laps-against-water": (f"{LAYER}/start_side", "high"),
    "widths-not-level": (f"{LAYER}/direction", 90),
    "widths-not-level, askew": (f"{LAYER}/direction", 15),
}


@pytest.mark.parametrize("job", [SLOPED, WALL], ids=["slope", "wall"])
@pytest.mark.parametrize("case", WRONG_WAYS)
def test_widths_that_let_water_in_are_said_and_cured(case: str, job: Request) -> None:
    request, code = but(WRONG_WAYS[case], job=job), case.partition(",")[0]
    rows = [row for row in answered(request)["findings"] if row["code"] == code]
    assert len(rows) == 1
    assert "laps-shed-water" not in said(request)
    cured = patched(request, rows[0]["cure"])
    assert code not in said(cured)
    assert "laps-shed-water" in said(cured)


@pytest.mark.parametrize("view", ["facing", "plan"])
@pytest.mark.parametrize("up", [0, 30, 90, 135, 200, 270, 315])
def test_widths_run_level_on_any_slope_from_its_low_side(up: int, view: str) -> None:
    """Whatever way it rises and is drawn: laps shed water, and the cure of a wrong way does."""
    slope = ("/surfaces/0/slope", {"rise": 4, "run": 12, "up": up})
    request = but(slope, ("/surfaces/0/view", view))
    assert "laps-shed-water" in said(request)
    wrong = but((f"{LAYER}/direction", (up + 45) % 180), job=request)
    (cure,) = (
        row["cure"] for row in answered(wrong)["findings"] if row["code"] == "widths-not-level"
    )
    assert "laps-shed-water" in said(patched(wrong, cure))


def test_a_flat_ceiling_has_no_low_side() -> None:
    codes = said(but((f"{LAYER}/start_side", "high")))
    assert not codes & {"laps-shed-water", "laps-against-water", "widths-not-level"}


@pytest.mark.parametrize(("key", "least"), [("wrap_lap", 2), ("wrap_end_lap", 6)])
def test_laps_under_those_of_a_wall_are_said(key: str, least: float) -> None:
    """2 in at sides and 6 in at ends: International Residential Code, section R703.2."""
    under = but((f"{LAYER}/rules", {key: least - 0.25}))
    (row,) = (row for row in answered(under)["findings"] if row["code"] == "lap-short")
    assert (row["measure"], row["limit"]) == (least - 0.25, least)
    assert row["cure"][0]["value"] == least
    assert "lap-short" not in said(but((f"{LAYER}/rules", {key: least})))


def test_without_tape_lengths_are_counted_and_no_rolls_of_it() -> None:
    request = but((f"{LAYER}/tape", None))
    answer = answered(request)
    assert "no-tape" in said(request)
    assert {row["product"] for row in answer["consumables"]} == {None}
    assert "tape" not in {row["form"] for row in answer["order"]}


def test_turn_downs_are_longer_where_the_wrap_joins_a_walls() -> None:
    """2 in at each end; 6 in where it joins (13.1)."""
    for at_walls, length in (("turned", 244), ("joined", 252)):
        answer = answered(but((f"{LAYER}/at_walls", at_walls), (f"{LAYER}/direction", 0)))
        assert {row["length"] for row in answer["pieces"]} == {length}


def test_an_opening_over_32_square_feet_is_left_out_of_the_wrap() -> None:
    """60 by 77 in are over it and part the middle width of three; 60 by 76 in are not."""
    for width, pieces in ((76, 3), (77, 4)):
        hole = {"id": "stair", "rectangle": [80, 30, 60, width], "cut_gap": 0}
        answer = answered(but(("/surfaces/0/openings", [hole]), (f"{LAYER}/direction", 0)))
        assert len(answer["pieces"]) == pieces
