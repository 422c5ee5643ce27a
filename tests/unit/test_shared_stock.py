"""Layers that share a product share its stock: the rules of the stock must be alike."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from tests.independent.json_patch import patched
from tests.strategies.asking import answered, refused
from tests.strategies.requests import board, changed, job
from tests.unit.test_build_up_findings import JOB

Request = dict[str, Any]


def two_rooms(layer: int, rules: Request) -> Request:
    """Two surfaces of one job; the second's layer has rules of its own."""
    (room,) = JOB["surfaces"]
    other = {**deepcopy(room), "id": "den"}
    request = JOB | {"surfaces": [room, other]}
    return changed(request, f"/surfaces/1/layers/{layer}/rules", rules)


@pytest.mark.parametrize(
    ("layer", "rules"),
    [(0, {"kerf": 0.25}), (0, {"min_strip": 10}), (1, {"wrap_end_lap": 12}), (1, {"cull": 5})],
)
def test_stock_rules_that_differ_are_refused_and_the_cure_works(layer: int, rules: Request) -> None:
    request = two_rooms(layer, rules)
    _, (fault,) = refused(request)
    assert fault["code"] == "stock-rules-differ"
    cured = patched(request, fault["cure"])
    answered(cured)


def test_rules_of_laying_may_differ() -> None:
    answered(two_rooms(0, {"panel_gap": 0.25}))
    answered(two_rooms(1, {"turn_down": 4}))


def test_alike_rules_at_any_level_go_through() -> None:
    request = two_rooms(0, {"kerf": 0.25})
    answered(changed(request, "/surfaces/0/layers/0/rules", {"kerf": "1/4 in"}))


@pytest.mark.parametrize(("layer", "rules"), [(0, {"min_strip": 12}), (1, {"reuse_from": 36})])
def test_a_rule_sent_as_it_is_by_default_is_no_other(layer: int, rules: Request) -> None:
    bare, sent = (answered(two_rooms(layer, own)) for own in ({}, rules))
    assert sent["order"] == bare["order"]


def test_a_trim_that_holds_only_if_it_is_sent_is_another_than_none() -> None:
    """`end_trim` sent as 0 sets both trims of boards; not sent a joint has 1/4 in (8.1)."""
    request = job(
        [area("one", end_trim=0), area("two")], board("10 ft", "12 ft", cover=5, overall=5.25)
    )
    _, (fault,) = refused(request)
    assert (fault["code"], fault["cure"][0]["value"]) == ("stock-rules-differ", 0)


def area(name: str, **rules: Any) -> Request:
    """A ceiling of boards across the framing."""
    boards = {"kind": "boarding", "product": "pine", "direction": 0, "rules": rules}
    return {"id": name, "rectangle": [140, 60], "supports": {"direction": 90, "spacing": 16},
            "layers": [boards]}  # fmt: skip


def test_an_opening_as_large_as_the_surface_leaves_nothing() -> None:
    hole = {"id": "all", "rectangle": [0, 0, 240, 144], "cut_gap": 0}
    _, faults = refused(changed(JOB, "/surfaces/0/openings", [hole]))
    assert {fault["code"] for fault in faults} == {"nothing-left"}


def test_upright_sheets_of_a_wall_are_nailed_to_its_plates() -> None:
    """62 nails in a 4 x 8 ft sheet along studs at 16 in, without being asked for."""
    request = changed(JOB, "/surfaces/0", {
        "id": "wall", "type": "wall", "rectangle": [48, 96],
        "supports": {"direction": 90, "at": [0.75, 16, 32, 47.25]},
        "layers": [{"kind": "sheathing", "product": "sheet", "direction": 90}],
        "rules": {"panel_wall_gap": 0, "panel_gap": 0},
    })  # fmt: skip
    request = changed(request, "/products/0", {
        "id": "sheet", "form": "sheet", "width": 48, "thickness": 0.5, "stock": [{"length": 96}],
    })  # fmt: skip
    assert sum(row["count"] for row in answered(request)["fasteners"]) == 62
