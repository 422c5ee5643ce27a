"""Hours only from the caller's rates, what there is to do without them, and stacks on the site."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from tests.strategies import requests
from tests.strategies.asking import answered

Request = dict[str, Any]
NAIL = {"id": "nail", "form": "fastener", "lengths": [2], "shank": "ring"}


@cache
def loft(*, rates: bool, kind: str = "ceiling") -> Request:
    """16 x 12 ft in 28 courses of one 16 ft board each; two rooms of it, one board for both."""
    room = requests.room(192, 144, type=kind, layer={"fastening": {"product": "nail"}})
    board = requests.board("16 ft", density=28)
    labour = {"rates": [{"item": "fasteners", "hours": 0.004}, {"item": "rips", "hours": 0.05},
                        {"item": "pieces", "hours": 0.1, "factor": 2}],
              "overhead": 1.25, "crew": 2, "day": 4}  # fmt: skip
    more = {"labour": labour} if rates else {}
    return answered(requests.job([room, room | {"id": "attic"}], board, NAIL, **more))


def of(answer: Request, item: str, surface: str = "loft") -> Request:
    (row,) = (row for row in answer["labour"] if (row["item"], row["surface"]) == (item, surface))
    return row


def test_what_there_is_to_do_is_told_without_rates_and_has_no_hours() -> None:
    """28 pieces; two rips along 191 in; crosscuts are the saw cuts of all sticks, shared out."""
    answer = loft(rates=False)
    assert all(row["hours"] is None for row in answer["labour"])
    assert answer["labour_totals"] == []
    assert of(answer, "pieces")["quantity"] == 28
    assert (of(answer, "rips")["quantity"], of(answer, "rips")["unit"]) == (
        pytest.approx(2 * 191 / 12, abs=1e-6), "ft"
    )  # fmt: skip
    fasteners = sum(row["count"] for row in answer["fasteners"] if row["surface"] == "loft")
    assert of(answer, "fasteners")["quantity"] == fasteners
    cuts = sum(row["quantity"] for row in answer["labour"] if row["item"] == "crosscuts")
    assert cuts == sum(row["kerfs"] for row in answer["sticks"])


def test_hours_are_quantity_by_rate_by_factor_and_add_up() -> None:
    """Overhead x 1.25; 28 pieces x 0.1 x 2 x 1.25 = 7 hours; a crew of two, days of 4 hours."""
    answer = loft(rates=True)
    assert of(answer, "pieces")["hours"] == 7
    nails = of(answer, "fasteners")
    assert nails["hours"] == pytest.approx(nails["quantity"] * 0.004 * 1.25, abs=1e-6)
    assert of(answer, "area")["hours"] is None
    (total,) = answer["labour_totals"]
    hours = sum(row["hours"] or 0 for row in answer["labour"])
    assert total["hours"] == pytest.approx(hours, abs=1e-5)
    assert total["crew_hours"] == pytest.approx(hours / 2, abs=1e-5)
    assert total["days"] == pytest.approx(hours / 8, abs=1e-5)


def test_a_floor_takes_no_factor_for_work_overhead() -> None:
    assert of(loft(rates=True, kind="floor"), "pieces")["hours"] == 5.6


def test_rates_change_nothing_but_hours() -> None:
    """The order, the cut list and all that is laid are what they are without them."""
    plain, rated = loft(rates=False), loft(rates=True)
    for table in ("order", "sticks", "pieces", "fasteners", "delivery"):
        assert plain[table] == rated[table]


def test_the_stack_of_a_board() -> None:
    """56 boards, eight of 5-3/8 in beside one another are 43 in, seven high 5-1/4 in: one lift.

    As long as the boards, 16 ft: 43 x 192 in = 57.33 sq ft. More than 8 x 32 make another.
    """
    (row,) = loft(rates=False)["delivery"]
    assert (row["pieces"], row["lifts"], row["longest"]) == (56, 1, 192)
    assert (row["width"], row["height"]) == (43, 5.25)
    assert row["footprint"] == pytest.approx(43 * 192 / 144, abs=1e-6)
    line = loft(rates=False)["order"][0]
    assert row["weight"] == line["weight"]


def test_how_the_stack_of_a_board_waits() -> None:
    """Bearers 4 ft apart under 16 ft: 5; 9 lines of stickers between 7 rows: 54.

    1 ft over on all sides is (192 + 24) x (43 + 24) in = 100.5 sq ft of cover; common practice.
    """
    (row,) = loft(rates=False)["delivery"]
    assert (row["bearers"], row["stickers"], row["clear"]) == (5, 54, 4)
    assert row["cover"] == pytest.approx(216 * 67 / 144, abs=1e-6)


def test_what_stacks_wait_by_is_in_the_basis() -> None:
    """Each default with its rule, or as the rules of the job's moisture have it (3.14, 26.4)."""
    usual = {"bearer_spacing": 48, "sticker_spacing": 24, "sticker": 0.75, "ground_clear": 4,
             "cover_over": 12}  # fmt: skip
    told = stacked_by(loft(rates=False))
    assert {key: row["value"] for key, row in told.items()} == usual
    assert {(row["at"], row["rule"], row["from"]) for row in told.values()} == {
        ("job", "26.4", "default")
    }
    moisture = {"air": [{"id": "room", "mc": 8}], "rules": {"bearer_spacing": 32},
                "boards": [{"product": "pine", "coefficient": 0.002, "mc": 8}]}  # fmt: skip
    request = requests.job(requests.room(192, 144), requests.board("16 ft"), moisture=moisture)
    sent = stacked_by(answered(request))["bearer_spacing"]
    assert (sent["value"], sent["from"]) == (32, "job")
    assert answered(request)["delivery"][0]["bearers"] == 192 // 32 + 1


def stacked_by(answer: Request) -> dict[str, Request]:
    return {row["key"]: row for row in answer["basis"] if row["rule"] == "26.4"}


def test_sheets_lie_flat_on_their_bearers() -> None:
    sheet = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5, "stock": [{"length": 96}]}
    area = requests.room(192, 144, type="floor")
    area["layers"] = [{"kind": "sheathing", "product": "ply"}]
    (row,) = answered(requests.job(area, sheet))["delivery"]
    assert (row["bearers"], row["stickers"]) == (3, 0)


def test_how_often_staging_is_moved() -> None:
    """191 x 143 in are 189.67 sq ft: at 40 from one place it stands in 5; on a floor in none."""
    room = requests.room(192, 144)
    labour = {"rates": [{"item": "staging_moves", "hours": 0.5}], "reach": 40}
    rooms = [room, room | {"id": "hall", "type": "floor"}]
    told = answered(requests.job(rooms, requests.board("16 ft"), labour=labour))["labour"]
    moves = [row for row in told if row["item"] == "staging_moves"]
    assert [(row["surface"], row["quantity"], row["hours"]) for row in moves] == [("loft", 5, 2.5)]
