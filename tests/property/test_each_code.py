"""Every finding and refusal is provoked by some test: none is only written and never told.

The table has a request for each code that no other test names. That codes are named elsewhere is
read from the tests themselves, so that a new code fails here until something provokes it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from service.errors import ShapeRefused, TradeRefused
from service.rows import jobs
from service.variations import entry
from tests.property.test_cures import CURABLE
from tests.property.test_wall_corners import COVER, GROOVE, wall, walls
from tests.strategies import trim
from tests.strategies.ailing import BEAMS, STRAPS, Request, but
from tests.strategies.asking import asked
from tests.strategies.requests import board, job, room, supports
from tests.strategies.trim import moulding

TESTS = Path(__file__).parents[1]


def one_room(*products: Request, **more: Any) -> Request:
    """Boards of a room of 180 x 60 in."""
    return job(room(180, 60, **more), *(products or (board("16 ft"),)))


def cored(width: float) -> Request:
    """Beams with a core so wide."""
    core = {"id": "core", "form": "lumber", "width": width, "thickness": 1.5,
            "stock": [{"length": "16 ft"}]}  # fmt: skip
    return but(BEAMS, ("/surfaces/0/layers/0/core", "core"), ("/products/-", core))


def boarded_first() -> Request:
    """Boards laid before beams, which then hide a part of them."""
    boards = {"id": "boards", "kind": "boarding", "product": "pine", "direction": 0}
    beams = BEAMS["surfaces"][0]["layers"][0] | {"mode": "boards_over"}
    return but(BEAMS, ("/surfaces/0/layers", [boards, beams]), ("/products/-", board("16 ft")))


def corner_board() -> Request:
    """A corner board as wide as it is thick, of which butting leaves nothing."""
    layer = {"kind": "trim", "product": "cove", "edges": [1, 3], "board": "butting"}
    area = room(96, 108, type="wall")
    area["layers"] = [layer]
    return job(area, moulding("10 ft", width=0.75, projection=0.75))


OUTSIDE, INSIDE = {"is": "outside_mitred"}, {"is": "inside_second"}


def deck(depth: float) -> Request:
    """A deck of planks along its rim, an inch over it, so deep."""
    layer = {"id": "boards", "kind": "boarding", "product": "plank", "direction": 0,
             "spacer": 0.125, "joints": "none"}  # fmt: skip
    area = {"id": "deck", "type": "deck", "rectangle": [140, depth], "supports": supports(),
            "edges": [{"edge": 0, "is": "overhang"}, {"edge": 2, "is": "bare"}],
            "layers": [layer]}  # fmt: skip
    plank = {"id": "plank", "form": "board", "profile": "square_edge", "overall": 5.5,
             "thickness": 1, "stock": [{"length": "12 ft"}]}  # fmt: skip
    return job(area, plank)


PROVOKED: dict[str, Request] = {
    "corner-ripped": walls(wall("hall", COVER * 9 - GROOVE + 0.5, OUTSIDE, INSIDE)),
    "corner-not-wrapped": walls(
        wall("hall", 60, INSIDE, OUTSIDE, start_side="low"),
        wall("stair", 60.75, OUTSIDE, INSIDE, start_side="low", wrap_corner="hall"),
    ),
    "raw-ends-tight": job(room(96.5, 30), board("8 ft", "10 ft")),
    "rim-ripped": deck(5.625 * 10 - 1 + 0.5),
    "scarf-off-member": but(
        trim.round_room([[0, 0], [300, 0], [300, 60], [0, 60]], moulding("16 ft")),
        ("/surfaces/0/supports", {"direction": 90, "at": [6]}),
    ),
    "board-narrow": corner_board(),
    "board-too-wide": one_room(board("16 ft", cover=24.5, overall=25)),
    "boards-hidden": boarded_first(),
    "core-other-width": cored(5),
    "coverage-contradicts": one_room(board("16 ft", tongue=0.375)),
    "coverage-is-overall": one_room(board("16 ft", cover=5.375)),
    "coverage-unusual": one_room(board("16 ft", cover=4.75, nominal={"thickness": 1, "width": 6})),
    "coverage-wrong": one_room(board("16 ft", cover=5.5)),
    "fixture-braced": one_room(
        openings=[{"id": "fan", "rectangle": [60, 20, 10, 10], "fixture": "heavy"}]
    ),
    "gap-takes-rip": job(room(180, 10 * 5.125 + 0.9)),
    "gap-takes-strip": job(room(180, 10 * 5.125 + 1.1)),
    "no-core": BEAMS,
    "no-core-fastener": cored(5.875),
    "opening-crosses-edge": one_room(openings=[{"id": "door", "rectangle": [170, 20, 20, 10]}]),
    "opening-under-beam": but(
        BEAMS, ("/surfaces/0/openings", [{"id": "lamp", "rectangle": [30, 57, 4, 4]}])
    ),
    "strap-loose": but(
        STRAPS, ("/surfaces/0/openings", [{"id": "window", "rectangle": [5, 30, 60, 20]}])
    ),
}


@pytest.mark.parametrize("code", PROVOKED)
def test_each_is_told_once_provoked(code: str) -> None:
    found = asked(PROVOKED[code])
    body = json.loads(found.body)
    told = body["findings"] if found.kind == "answer" else body["faults"]
    assert code in {row["code"] for row in told}, told


def test_more_lengths_than_a_cell_holds() -> None:
    """A sheet of rooms is told of the cell: one length more than a product may have."""
    with pytest.raises(ShapeRefused) as told:
        jobs.job_of_row({"stock": "; ".join(["8 ft"] * 40)})
    assert "too-long" in {fault.code for fault in told.value.faults}


def test_a_variation_that_goes_wrong_is_told_as_not_tried() -> None:
    """Whatever goes wrong with a variation of the service's own, the rest is answered."""
    with mock.patch.object(entry, "take_off", side_effect=ZeroDivisionError):
        made = entry.Entry("as sent", {}, mock.sentinel.job).tried()
    assert isinstance(made.outcome, TradeRefused)
    assert [fault.code for fault in made.outcome.faults] == ["not-tried"]


def test_every_code_is_provoked_by_a_test() -> None:
    """Each stands in this table, or is named in a test that asserts it."""
    own = {Path(__file__).name, "test_cures.py"}
    texts = [file.read_text(encoding="utf-8") for file in TESTS.rglob("*.py")
             if file.name not in own]  # fmt: skip
    elsewhere = {code for code in CURABLE if any(f'"{code}"' in text for text in texts)}
    asserted = {"too-long", "not-tried"}
    assert set(CURABLE) - elsewhere - asserted <= set(PROVOKED)
