"""The moisture of a job: what it asks for is laid, as if it had been sent, and what it says."""

from __future__ import annotations

import itertools
import json
from typing import Any
from unittest import mock

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.compute import TEXT, Picked, answer
from service.products.moving import Room
from service.takeoff.moisture import room as giving_room
from service.takeoff.moisture.room import PASSES, settled
from tests.strategies.asking import answered, body_of, refused
from tests.strategies.budget import FEW
from tests.strategies.requests import board, changed, job, room

Request = dict[str, Any]


def damp(
    *airs: float, boards: float = 8, framing: float | None = None, width: float = 122, **more: Any
) -> Request:
    """A porch of flat-grained white pine at so many percent, in airs that bring it to others."""
    moisture = {
        "air": [{"id": f"air{k}", "mc": one} for k, one in enumerate(airs)],
        "boards": [{"product": "pine", "species": "eastern_white_pine", "mc": boards}],
        "framing": [{"mc": boards if framing is None else framing}],
    }
    return job(room(180, width, view="facing"), board("16 ft"), rules={"backing": "none"},
               moisture=moisture, **more)  # fmt: skip


def codes(request: Request) -> dict[str, Request]:
    return {row["code"]: row for row in answered(request)["findings"]}


def the_row(request: Request) -> Request:
    (row,) = answered(request)["moisture"]
    return row


@FEW
@given(
    boards=st.integers(6, 14),
    airs=st.lists(st.integers(5, 16), min_size=1, max_size=2),
    width=st.sampled_from([96, 122, 300]),
)
def test_what_moisture_asks_for_is_laid_as_if_it_were_sent(
    boards: int, airs: list[int], width: int
) -> None:
    """Courses, pieces and order are those of the same job with that spacer and that gap."""
    request = damp(*airs, boards=boards, width=width, when_blocked="relax")
    told = answered(request)
    (row,) = told["moisture"]
    asked = request
    if row["spacer"]:
        asked = changed(asked, "/surfaces/0/layers/0/spacer", row["spacer"])
    if row["gap"] > 0.5:
        asked = changed(asked, "/surfaces/0/rules", {"gap": row["gap"]})
    sent = answered(asked)
    for name in ("courses", "pieces", "joints", "order", "ledger"):
        assert told[name] == sent[name]
    assert row["gap"] >= row["gap_needed"] - 1e-6
    assert row["spacer"] == row["spacer_needed"]


def test_a_porch_swells_and_its_courses_are_laid_out_with_spacers() -> None:
    """8 to 16 %: 5.125 x 0.00212 x 8 = 0.08692 in, 1/32 of it slack: spacers of 1/16.

    121 x 0.00212 x 8 = 2.05216 in over all, a quarter of it 0.513: a gap of 9/16, more than the
    usual 1/2; then 120.875 in, and a gap of 9/16 still.
    """
    request = damp(16)
    row, found = the_row(request), codes(request)
    assert row["swells"] == pytest.approx(0.08692, abs=1e-6)
    assert row["over"] == 120.875
    assert row["swells_over_all"] == pytest.approx(120.875 * 0.00212 * 8, abs=1e-6)
    assert (row["spacer"], row["gap"]) == (1 / 16, 9 / 16)
    assert {"spacer-for-moisture", "gap-for-moisture", "moves-beyond-range"} <= set(found)
    courses = answered(request)["courses"]
    steps = {b["near"] - a["far"] for a, b in itertools.pairwise(courses)}
    assert steps == {1 / 16}
    basis = {(one["key"], one["from"]) for one in answered(request)["basis"]}
    assert {("spacer", "moisture"), ("gap", "moisture")} <= basis


def test_what_was_sent_stays_and_is_said_to_be_too_little() -> None:
    request = changed(damp(16), "/surfaces/0/layers/0/spacer", 0.03125)
    request = changed(request, "/surfaces/0/rules", {"gap": 0.25})
    row, found = the_row(request), codes(request)
    assert (row["spacer"], row["gap"]) == (1 / 32, 1 / 4)
    assert (found["swells-beyond-joint"]["measure"], found["swells-beyond-joint"]["limit"]) \
        == (1 / 16, 1 / 32)  # fmt: skip
    assert found["gap-below-movement"]["limit"] == 9 / 16


def test_boards_in_their_own_air_are_laid_as_ever() -> None:
    """Nothing moves, so nothing is asked for; but nobody has read twice."""
    request = damp(8)
    still = {key: value for key, value in request.items() if key != "moisture"}
    assert answered(request)["courses"] == answered(still)["courses"]
    assert answered(still)["moisture"] == answered(still)["moisture_checks"] == []
    found = codes(request)
    assert (
        "read again before they go up: Read the boards twice" in found["moisture-not-known"]["text"]
    )
    assert not {"spacer-for-moisture", "gap-for-moisture", "boards-wait"} & set(found)


def test_boards_that_are_too_wet_wait_and_open_their_joints() -> None:
    """14 to 9 %: 5.125 x 0.00212 x 5 = 0.0543 in, more than the slack of 1/32."""
    found = codes(damp(9, boards=14))
    assert found["boards-wait"]["text"].startswith("do not install yet: The boards are at 14 %")
    assert found["joint-opens"]["measure"] == pytest.approx(0.054325, abs=1e-6)


def test_tongues_that_would_leave_their_grooves_are_refused() -> None:
    """20 to 5 %: 0.163 in; of a tongue of 3/16 an open joint may take 1/8."""
    narrow = board("16 ft", overall=5.3125)
    request = damp(5, boards=20) | {"products": [narrow]}
    kind, (fault,) = refused(request)
    assert (kind, fault["code"], fault["pointer"]) == (
        "TradeRefused", "tongue-leaves-groove", "/moisture/boards/0")  # fmt: skip
    relaxed = answered(request | {"when_blocked": "relax"})["relaxed"]
    assert [(one["rule"], one["key"], one["asked"]) for one in relaxed] == [
        ("3.14", "tongue_kept", 0.0625)
    ]


def test_each_surface_is_in_its_own_air() -> None:
    """A room that is heated, and a porch; boards whose moisture nobody sent are not told of."""
    both = job([room(180, 60) | {"id": one, "view": "facing"} for one in ("porch", "room")],
               board("16 ft"))  # fmt: skip
    air = [{"id": "heated", "mc": 7, "surfaces": ["room"]},
           {"id": "outside", "mc": 12, "surfaces": ["porch"]}]  # fmt: skip
    boards = [{"product": "pine", "coefficient": 0.002, "mc": 9}]
    told = answered(both | {"moisture": {"air": air, "boards": boards}})["moisture"]
    assert {row["surface"]: (row["mc_low"], row["mc_high"]) for row in told} == {
        "room": (7, 7), "porch": (12, 12)}  # fmt: skip


BAD = {
    "no-such-product": ("/moisture/boards/0/product", "oak"),
    "wrong-form": ("/moisture/boards/0/product", "nail"),
    "no-such-surface": ("/moisture/air/0/surfaces", ["barn"]),
    "warmer-than-air": ("/moisture/air/0", {"id": "a", "temperature": 60, "dew_point": 61}),
}


@pytest.mark.parametrize("code", BAD)
def test_what_moisture_names_must_be_there(code: str) -> None:
    at, value = BAD[code]
    request = damp(8)
    request["products"].append({"id": "nail", "form": "fastener", "lengths": [2], "shank": "ring"})
    _, faults = refused(changed(request, at, value))
    assert code in [one["code"] for one in faults]
    assert all(one["pointer"].startswith(at) for one in faults)


def test_two_that_ask_for_each_other_are_left_after_three_passes() -> None:
    rooms = itertools.cycle([{"a.b": Room(gap=1)}, {"a.b": Room(gap=2)}])
    asked = mock.Mock(side_effect=lambda _: next(rooms))
    assert settled(asked) == ({"a.b": Room(gap=2)}, frozenset({"a.b"}))
    assert asked.call_count == PASSES
    assert settled(lambda _: {"a.b": Room(gap=1)}) == ({"a.b": Room(gap=1)}, frozenset())


def test_boards_that_never_settle_are_told() -> None:
    wider = itertools.count(600_000, 1000)
    with mock.patch.object(giving_room, "_room", side_effect=lambda *_: Room(gap=next(wider))):
        found = json.loads(answer(body_of(damp(9))).body)["findings"]
    (told,) = [row for row in found if row["code"] == "room-unsettled"]
    assert (told["at"], told["rule"]) == ("loft.boards", "3.14")


def test_lapped_boards_need_no_spacers() -> None:
    """Each moves for itself, and the gap is that of one board."""
    siding = board("16 ft", cover=6, overall=7.25, profile="lapped")
    request = damp(16) | {"products": [siding]}
    row = the_row(request)
    assert (row["over"], row["spacer"]) == (6, 0)
    assert "swells-beyond-joint" not in codes(request)


def test_on_paper_it_says_what_the_boards_wait_for() -> None:
    text = answer(body_of(damp(16)), Picked(media=TEXT)).body.decode()
    part = text[text.index("BEFORE THE BOARDS GO UP") :]
    assert (
        'Lay them with spacers of 1/16" in the joints, and leave 9/16" at each wall.'
        in " ".join(part.split())
    )
    assert "not known  Read the boards twice" in part


def test_a_change_is_laid_on_the_courses_that_are_up() -> None:
    """With spacers as before: what a hatch does not touch stays; 24 courses, four of them cut."""
    before = damp(16)
    hatch = [{"id": "hatch", "rectangle": [60, 50, 24, 16]}]
    request = {"before": before, "after": changed(before, "/surfaces/0/openings", hatch),
               "installed": [{"surface": "loft", "layer": "boards",
                              "courses": {"from": 1, "to": 12}}]}  # fmt: skip
    told = answered(request, "changes")
    assert told["summary"]["keep"] == 20
    assert {row["spacer"] for row in told["work"]["moisture"]} <= {1 / 16}
