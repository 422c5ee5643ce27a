"""Cans and tubes at hand in a change: used first, opened or full, and given back where taken.

A coat covers 400 sq ft a gallon, on raw wood eight tenths of that; counts are worked from volumes.
"""

from __future__ import annotations

import json
from math import ceil
from typing import Any

import pytest

from tests.strategies.asking import answered, asked
from tests.strategies.requests import board, job, room

Request = dict[str, Any]

OUNCES = 128
QUART = {"holds": "1 qt", "price": "15"}


def coated(width: float, *owned: Request) -> Request:
    """A room of boards 16 ft long, painted, with a bead of glue on each board."""
    bead = {"product": "glue", "along": "pieces", "width": 0.25, "depth": 0.25}
    layer = {"coats": [{"product": "paint", "on": "face"}], "beads": [bead]}
    paint = {"id": "paint", "form": "coating", "spread": "400 ft2/gal", "packs": [QUART]}
    glue = {"id": "glue", "form": "sealant", "packs": [{"holds": "10.1 fl oz", "price": "6"}]}
    if owned:
        glue["owned"] = list(owned)
    return job(room(192, width, layer=layer), board("16 ft"), paint, glue, currency="USD")


def changed(**more: Any) -> Request:
    return answered({"before": coated(60), "after": coated(120)} | more, "changes")


def lines(made: Request, product: str) -> dict[str, Request]:
    return {row["item"]: row for row in made["order"] if row["product"] == product}


def first(made: Request) -> str:
    return next(row["text"] for row in made["steps"] if row["do"] == "use")


def test_opened_cans_are_used_before_any_is_bought() -> None:
    """Two quarts with 16 fl oz in each: a quart less is bought of what the larger room takes."""
    takes = sum(row["volume"] for row in answered(coated(120))["liquids"]
                if row["product"] == "paint") * OUNCES  # fmt: skip
    assert ceil(takes / 32) == ceil((takes - 2 * 16) / 32) + 1
    left = [{"product": "paint", "holds": "1 qt", "left": "16 fl oz", "count": 2}]
    made = changed(leftovers=left, delivered=[])
    rows = lines(made, "paint")
    opened = rows["paint 1 qt with 16 fl oz left"]
    assert (opened["at_hand"], opened["used"], opened["more"]) == (2, 2, 0)
    assert rows["paint 1 qt"]["more"] == ceil((takes - 32) / 32)
    assert "2 of paint 1 qt with 16 fl oz left" in first(made)


def test_what_the_second_job_owns_is_used_first_too() -> None:
    """Three tubes of its own: they are at hand, and stand in the first step."""
    made = changed(after=coated(120, {"holds": "10.1 fl oz", "count": 3}))
    (row,) = lines(made, "glue").values()
    assert (row["at_hand"], row["used"]) == (3, 3)
    assert row["is"] == lines(changed(), "glue")["glue 10.1 fl oz"]["is"] - 3
    assert "3 of glue 10.1 fl oz" in first(made)


def test_full_cans_that_came_go_back_where_they_are_taken() -> None:
    """The room shrinks: of the tubes that came those that are not needed go back at 6 each."""
    tubes = [answered(coated(width))["order"][-1]["buy"] for width in (120, 60)]
    came = [{"product": "glue", "holds": "10.1 fl oz", "count": tubes[0], "returnable": True}]
    made = changed(before=coated(120), after=coated(60), delivered=came)
    (row,) = lines(made, "glue").values()
    assert (row["at_hand"], row["used"], row["more"]) == (tubes[0], tubes[1], 0)
    lost = sum(one["buy"] - one["need"] for one in answered(coated(120))["order"]
               if one["product"] == "glue")  # fmt: skip
    assert row["fewer"] == tubes[0] - tubes[1] - lost > 0
    assert row["credit"] == 6 * row["fewer"]


@pytest.mark.parametrize(("row", "told"), [
    ({"product": "paint", "count": 2}, ("missing", "/leftovers/0/holds")),
    ({"product": "paint", "count": 1, "holds": "1 qt", "left": "2 qt"}, ("left", "/leftovers/0")),
    ({"product": "pine", "length": 60, "count": 1, "holds": "1 qt"},
     ("extra-forbidden", "/leftovers/0/holds")),
])  # fmt: skip
def test_cans_that_cannot_be_are_told_where_they_were_sent(
    row: Request, told: tuple[str, str]
) -> None:
    found = asked({"before": coated(60), "after": coated(60), "leftovers": [row]}, "changes")
    faults = json.loads(found.body)["faults"]
    assert [(one["code"], one["pointer"]) for one in faults] == [told]
