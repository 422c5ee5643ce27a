"""What is wrong in several places is told of all of them at once, as far as it can be known."""

from __future__ import annotations

import copy
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import requests
from tests.strategies.asking import refused
from tests.strategies.budget import LAW

Request = dict[str, Any]

NAIL = {"id": "nail", "form": "fastener", "lengths": [2.5], "shank": "ring"}
SHAPE = {"an unknown key", "a length below zero"}
"""Faults that leave nothing to be measured or laid: those of geometry and of the trade wait."""

KNOWN_ALL_THE_SAME = SHAPE | {
    "a product that is not there", "a nail that is not there", "a nail for a board",
    "two surfaces of one id", "two openings of one id",
}  # fmt: skip
"""Faults that are seen in the JSON itself, whatever is wrong with its shape."""


def sound() -> Request:
    """Six rooms, each its own place for a fault."""
    areas = [requests.room(100 + k, 80) | {"id": f"room{k}"} for k in range(6)]
    return requests.job(areas, requests.board("8 ft", "12 ft"), NAIL)


def _at(request: Request, surface: int) -> Request:
    area: Request = request["surfaces"][surface]
    return area


EDITS: dict[str, Any] = {
    "an unknown key": lambda job: _at(job, 0).update(colour="red"),
    "a length below zero": lambda job: _at(job, 0)["supports"].update(spacing=-16),
    "a product that is not there": lambda job: _at(job, 1)["layers"][0].update(product="oak"),
    "a nail that is not there": lambda job: _at(job, 2)["layers"][0].update(
        fastening={"product": "brad"}
    ),
    "a nail for a board": lambda job: _at(job, 3)["layers"][0].update(product="nail"),
    "two surfaces of one id": lambda job: _at(job, 4).update(id="room2"),
    "two openings of one id": lambda job: _at(job, 5).update(
        openings=[{"id": "a", "circle": [20 + 30 * k, 20, 3]} for k in range(2)]
    ),
    "an opening outside": lambda job: _at(job, 0).update(
        openings=[{"id": "a", "rectangle": [200, 10, 5, 5]}]
    ),
    "no course fits": lambda job: _at(job, 2)["layers"][0].update(rules={"gap": 45}),
    "nothing to nail to": lambda job: _at(job, 5)["supports"].update(direction=0),
}


def told(names: frozenset[str]) -> set[tuple[str, str]]:
    """Code and place of each fault of the request that has these."""
    request = copy.deepcopy(sound())
    for name in sorted(names):
        EDITS[name](request)
    _, faults = refused(request)
    return {(fault["code"], fault["pointer"]) for fault in faults}


ALONE = {name: told(frozenset({name})) for name in EDITS}


@LAW
@given(names=st.frozensets(st.sampled_from(sorted(EDITS)), min_size=2))
def test_what_is_told_alone_is_told_in_company(names: frozenset[str]) -> None:
    """No fault hides another; only where the shape is wrong can nothing be laid."""
    waiting = names - KNOWN_ALL_THE_SAME if names & SHAPE else frozenset()
    wanted = set().union(*(ALONE[name] for name in names - waiting))
    assert told(names) == wanted


def test_each_fault_alone_is_one_fault() -> None:
    """So that the law above compares what it seems to compare."""
    assert {name: len(found) for name, found in ALONE.items()} == dict.fromkeys(EDITS, 1)


def test_layers_under_a_product_that_is_not_there_are_laid_and_judged() -> None:
    """The boards over it are not: they would not know what they lie on."""
    area = requests.room(100, 80)
    boards = area["layers"][0]
    area["layers"] = [boards | {"id": "first", "rules": {"gap": 45}},
                      boards | {"id": "second", "product": "oak"},
                      boards | {"id": "third", "rules": {"gap": 45}}]  # fmt: skip
    _, faults = refused(requests.job(area))
    assert [(fault["code"], fault["pointer"]) for fault in faults] == [
        ("no-such-product", "/surfaces/0/layers/1/product"),
        ("nothing-left", "/surfaces/0/layers/0"),
    ]
