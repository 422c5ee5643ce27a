"""The checks of any answer find what is wrong: one figure spoiled, one fault told."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from tests.independent import any_kind
from tests.strategies import kinds
from tests.strategies.asking import answered

REQUEST = kinds.request_of(next(f for f in kinds.files("examples", "porch.json")))

SECOND = object()
"""The name of the second piece."""

SPOILED: dict[str, tuple[str, str, Any, str]] = {
    "a figure": ("courses", "near", float("inf"), "a figure is inf"),
    "a layer": ("layers", "layer", "attic", "told of"),
    "a count of pieces": ("layers", "pieces", 1, "as many are not listed"),
    "a name of two": ("pieces", "id", SECOND, "is the name of 2 pieces"),
    "an area": ("pieces", "area", 900.0, "the pieces of panels cover"),
    "an offcut": ("sticks", "ticks.offcut", 7, "does not add up"),
    "a stick": ("pieces", "stick", "none", "names no stick"),
    "a piece of a stick": ("sticks", "pieces", [], "not every piece comes from one stick"),
    "a sheet": ("sheets", "half_square_ticks.waste", "1", "does not add up"),
    "a run": ("runs", "to", 1.0, "is not made up of its pieces"),
    "a gap": ("runs", "gap", 9.0, "do not follow each other"),
    "an account": ("ledger", "amount", "1", "were bought"),
    "a share": ("ledger_shares", "amount", "1", "do not add up"),
    "a share of a line": ("order_shares", "buy", 99, "do not add up"),
    "an order": ("order", "buy", 0, "are bought, and"),
    "a need": ("order", "need", 0, "not so many needed"),
    "fasteners": ("layers", "crossings", 10**6, "is not fastened"),
    "a joint": ("joints", "between", ["here", "there"], "a joint names here"),
    "a place": ("fasteners", "layer", "attic", "a row of fasteners is of"),
}
"""Table, member of its first row, what is put there, and what is told."""


@pytest.mark.parametrize("what", SPOILED)
def test_what_is_spoiled_is_found(what: str) -> None:
    table, member, value, told = SPOILED[what]
    answer = copy.deepcopy(answered(REQUEST))
    assert any_kind.faults(REQUEST, answer) == []
    spot = answer[table][0]
    *path, last = member.split(".")
    for part in path:
        spot = spot[part]
    spot[last] = answer["pieces"][1]["id"] if value is SECOND else value
    if what == "fasteners":
        for row in answer["fasteners"]:
            row["spacing"] = None
    assert any(told in fault for fault in any_kind.faults(REQUEST, answer))
