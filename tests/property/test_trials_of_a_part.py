"""A cure of one layer is tried on what it moves: what is answered is as if all were taken off."""

from __future__ import annotations

from typing import Any
from unittest import mock

import pytest
from hypothesis import given

from service import cures
from service.compute import answer
from service.errors import Cure
from service.request.reading import read
from service.takeoff.laying import lay_all
from service.takeoff.trying import picking
from tests.strategies.ailing import PANELS, but
from tests.strategies.asking import body_of
from tests.strategies.budget import examples
from tests.strategies.build_ups import build_ups
from tests.strategies.requests import board

Request = dict[str, Any]

TRIMMED: Request = but(
    PANELS, ("/products/0/width", 48), ("/products/0/stock/0/length", 96),
    ("/surfaces/0/layers/0/rules", {"panel_wall_gap": 0.0625}),
)  # fmt: skip
NARROWER = Cure("/surfaces/0/layers/0/rules/panel_wall_gap", 0)


def built_up(*behind: Request) -> Request:
    """Sheets that are trimmed, boards over them, and other layers before the boards."""
    sheets, boards = TRIMMED["surfaces"][0], board("8 ft", "12 ft")
    layers = [*sheets["layers"], *behind, {"kind": "boarding", "product": "pine", "direction": 0}]
    surface = sheets | {"layers": [dict(one, id=f"l{k}") for k, one in enumerate(layers)]}
    products = [*TRIMMED["products"], boards]
    used = {one["product"] for one in layers} | {"nail"}
    return TRIMMED | {
        "surfaces": [surface], "products": [one for one in products if one["id"] in used],
    }  # fmt: skip


def moved(request: Request, cure: Cure, more: Request) -> list[str] | None:
    """Which layers a cure of the first one moves; `more` is the request with it made."""
    before = read(body_of(request))
    at = before.layers[0].task.at
    laid = {one.job.task.at: one.layer for one in lay_all(before)}
    after = read(body_of(more))
    further = picking(after, at, cure, laid)
    return None if further is None else [one.job.task.layer_id for one in further(lay_all(after))]


def narrower(request: Request) -> Request:
    return but(request, ("/surfaces/0/layers/0/rules", {"panel_wall_gap": 0}))


def test_layers_that_stand_on_the_same_are_not_taken_off_again() -> None:
    """The boards cross the same seams, however far these reach."""
    assert moved(built_up(), NARROWER, narrower(built_up())) == ["l0"]


def test_all_layers_of_a_product_that_is_wanted_otherwise_are() -> None:
    """A second layer of the same sheets is cut from the same stock."""
    twice = built_up({"kind": "sheathing", "product": "sheet"})
    assert moved(twice, NARROWER, narrower(twice)) == ["l0", "l1"]


def test_boards_that_come_to_lie_on_other_seams_are() -> None:
    """Sheets of 6 ft meet where those of 8 ft do not, and joints of boards keep off seams."""
    shorter = but(built_up(), ("/products/0/stock/0/length", 72))
    assert moved(built_up(), NARROWER, shorter) == ["l0", "l1"]


@pytest.mark.parametrize("pointer", ["/products/0/stock/0/length", "/surfaces/0/layers/1/start"])
def test_what_changes_more_than_its_layer_is_tried_whole(pointer: str) -> None:
    assert moved(built_up(), Cure(pointer, 72), built_up()) is None


def test_the_trial_of_a_part_tells_what_the_whole_does() -> None:
    """And takes no more off than that: the boards are planned once."""
    whole, part = both(built_up())
    assert whole == part
    assert b"sheets-trimmed" in part
    assert b"panel_wall_gap" in part


@examples(20)
@given(request=build_ups())
def test_no_answer_depends_on_it(request: Request) -> None:
    whole, part = both(request)
    assert whole == part


def both(request: Request) -> tuple[bytes, bytes]:
    """What is answered where every cure is tried whole, and as it is."""
    with mock.patch.object(cures, "picking", return_value=None):
        whole = answer(body_of(request)).body
    return whole, answer(body_of(request)).body
