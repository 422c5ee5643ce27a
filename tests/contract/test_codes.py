"""The list of codes is whole: what the service may say of a request stands in it, and no more."""

from __future__ import annotations

import ast
from functools import lru_cache
from pathlib import Path
from typing import get_args

import pytest
from pydantic_core.core_schema import ErrorType

from service.api.problem_pages import page
from service.api.problems import TABLE, listed
from service.products.registry import codes
from tests.property.test_cures import CURABLE
from tests.strategies import requests, trim
from tests.strategies.asking import asked

SERVICE = Path(__file__).parents[2] / "service"


@lru_cache
def made(maker: str) -> frozenset[str]:
    """The codes that stand in the source as the first word of what `maker` makes."""
    found = set()
    for file in SERVICE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == maker and node.args:
                first = node.args[0]
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    found.add(first.value)
    return frozenset(found)


def told(*sorts: str) -> set[str]:
    return {one["code"] for one in codes() if one["sort"] in sorts}


def test_no_code_is_told_twice_in_one_sort() -> None:
    pairs = [(one["sort"], one["code"]) for one in codes()]
    assert len(set(pairs)) == len(pairs) > 250


def test_every_fault_and_finding_of_the_source_is_told() -> None:
    assert made("Fault") | made("Misplaced") <= told("shape", "refusal", "json")
    assert made("Finding") <= told("finding")
    assert made("_refuse") <= told("json")
    assert made("PydanticCustomError") <= told("shape", "refusal")


def test_what_is_told_of_cures_is_told_here() -> None:
    assert set(CURABLE) <= told("shape", "refusal", "finding")


def test_nothing_is_told_that_is_never_said() -> None:
    source = "".join(file.read_text(encoding="utf-8") for file in SERVICE.rglob("*.py"))
    library = {one.replace("_", "-") for one in get_args(ErrorType)}
    assert {code for code in told("json", "shape", "refusal", "finding") - library
            if f'"{code}"' not in source} == set()  # fmt: skip


@pytest.mark.parametrize("name", TABLE)
def test_each_problem_has_a_page_that_says_what_it_means(name: str) -> None:
    kind = TABLE[name]
    shown = page(kind).decode()
    assert kind.type in shown
    assert str(kind.status) in shown
    assert {"type": kind.type, "status": kind.status, "title": kind.title,
            "says": kind.meaning} in listed()  # fmt: skip


MISSPELT = {
    "/surfaces/0/suports": "did you mean `supports`?",
    "/surfaces/0/layers/0/directon": "did you mean `direction`?",
    "/surfaces/0/layers/0/rules/min_rips": "`min_rip`",
    "/products/0/covrage": "did you mean `coverage`?",
    "/surfaces/0/supports/spaceing": "did you mean `spacing`?",
    "/rules/qqqqqq": "check its spelling",
    "/surfaces/0/qqqqqq": "there are `backing`, `diagonals`, ",
    "/products/0/stock/0/available": "there are `ends`, `length`, `multiple`, `on_hand`, `price`",
}


@pytest.mark.parametrize("at", MISSPELT)
def test_an_unknown_key_is_told_the_nearest_that_may_stand_there(at: str) -> None:
    request = requests.changed(requests.job(requests.room(100, 80)), at, 1)
    assert MISSPELT[at] in asked(request).body.decode()


def test_a_needed_word_is_told_with_those_that_there_are() -> None:
    request = requests.job(requests.room(100, 80))
    nail = {"id": "nail", "form": "fastener", "lengths": [2]}
    told = asked({**request, "products": [*request["products"], nail]}).body.decode()
    assert "this key is needed: one of `ring`, `screw`, `smooth`" in told


def test_an_unknown_product_is_told_the_nearest() -> None:
    request = requests.job(requests.room(100, 80))
    name = request["products"][0]["id"]
    request["surfaces"][0]["layers"][0]["product"] = f"{name}s"
    assert f"no product has the id {name}s: did you mean `{name}`?" in asked(request).body.decode()


def near_to(request: requests.Request, at: str, value: object) -> str:
    """What is said where an id or a word of a request is another than it was."""
    return asked(requests.changed(request, at, value)).body.decode()


def test_a_kind_a_form_a_surface_and_an_opening_are_told_the_nearest() -> None:
    room = requests.job(requests.room(100, 80))
    assert "did you mean `boarding`?" in near_to(room, "/surfaces/0/layers/0/kind", "bording")
    assert "did you mean `board`?" in near_to(room, "/products/0/form", "boards")
    air: requests.Request = {"air": [{"id": "now", "mc": 8, "surfaces": ["lofts"]}]}
    air["boards"] = [{"product": "pine", "coefficient": 0.002, "mc": 9}]
    assert "did you mean `loft`?" in near_to(room, "/moisture", air)
    framed = trim.round_room([[0, 0], [100, 0], [100, 80], [0, 80]], around="openings")
    framed["surfaces"][0]["openings"] = [{"id": "hatch", "rectangle": [30, 30, 20, 20]}]
    at = f"/surfaces/0/layers/{len(framed['surfaces'][0]['layers']) - 1}/openings"
    assert "did you mean `hatch`?" in near_to(framed, at, ["hatches"])
