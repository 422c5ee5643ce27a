"""What tools that read the document ask of it: laws that hold of all its schemas and answers."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from service.schemas.named import named_schemas

DOCUMENT = Path(__file__).parents[2] / "openapi/openapi.json"
_SYNTAX = set("^$\\.*+?()[]{}|/")
"""What ECMA-262 lets a backslash stand before under the `u` flag, besides letters of classes."""


@lru_cache
def document() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(DOCUMENT.read_bytes())
    return read


def schemas() -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = document()["components"]["schemas"]
    return found


def nodes(value: Any, at: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every object inside `value` with where it stands."""
    if isinstance(value, dict):
        yield at, value
        for key, one in value.items():
            yield from nodes(one, f"{at}/{key}")
    elif isinstance(value, list):
        for index, one in enumerate(value):
            yield from nodes(one, f"{at}/{index}")


def stated() -> list[tuple[str, dict[str, Any]]]:
    """Every schema, and every object in one; no examples."""
    parts = [schemas(), document()["components"]["headers"], document()["paths"]]
    return [found for part in parts for found in nodes(part)]


def reached(name: str, seen: set[str]) -> set[str]:
    if name not in seen:
        seen.add(name)
        for _, node in nodes(schemas()[name]):
            if isinstance(node.get("$ref"), str):
                reached(node["$ref"].rpartition("/")[2], seen)
    return seen


def answered() -> set[str]:
    """Names of the schemas that answers are made of."""
    found: set[str] = set()
    for methods in document()["paths"].values():
        for operation in methods.values():
            for response in operation["responses"].values():
                for media in response.get("content", {}).values():
                    if "$ref" in media["schema"]:
                        reached(media["schema"]["$ref"].rpartition("/")[2], found)
    return found


def escapes(pattern: str) -> set[str]:
    return set(re.findall(r"\\(.)", pattern))


def test_patterns_are_read_under_the_u_flag() -> None:
    patterns = {node["pattern"] for _, node in stated() if isinstance(node.get("pattern"), str)}
    assert len(patterns) > 10
    assert {one for one in patterns if escapes(one) - _SYNTAX - set("bBdDfnrsStuvwWx")} == set()


def test_what_may_be_left_out_has_no_default_of_null() -> None:
    assert [at for at, node in stated() if "default" in node and node["default"] is None] == []


def test_every_shape_is_plain() -> None:
    """Members stand beside no alternatives: a client made from the document has one class."""
    choices = {"oneOf", "anyOf", "allOf"}
    both = [name for name, one in schemas().items() if "properties" in one and choices & set(one)]
    assert both == []


def test_alternatives_of_objects_have_names_and_are_told_apart() -> None:
    for at, node in stated():
        some = node.get("oneOf", [])
        if len(some) > 1:
            assert all("$ref" in one for one in some), at
            assert set(node["discriminator"]["mapping"].values()) == {one["$ref"] for one in some}


@pytest.mark.parametrize("name", named_schemas())
def test_each_quantity_is_stated_once(name: str) -> None:
    """And used: what has a name is referred to by it, and by nothing that asks for the same."""
    said = ("title", "description", "default")
    mine = {key: value for key, value in schemas()[name].items() if key not in said}
    alike = [
        at
        for at, node in nodes(schemas())
        if {key: value for key, value in node.items() if key not in said} == mine
        and at.count("/") > 1
    ]
    assert alike == []
    assert f'"#/components/schemas/{name}"' in DOCUMENT.read_text(encoding="utf-8")


def test_answers_may_gain_members() -> None:
    assert len(answered()) > 80
    closed = [name for name in answered() if "additionalProperties" in schemas()[name]]
    assert [name for name in closed if schemas()[name]["additionalProperties"] is False] == []


def test_every_answer_has_one_media_type() -> None:
    for path, methods in document()["paths"].items():
        for operation in methods.values():
            assert len(operation["responses"]["200"]["content"]) == 1, path


def test_the_document_is_read_from_the_top() -> None:
    """What is sent stands before what it is made of, and the small example before the full one."""
    assert list(document())[:3] == ["openapi", "info", "paths"]
    names = list(schemas())
    places = [names.index(name) for name in ("Job", "Surface", "Answer", "OrderRow")]
    assert places == sorted(places)
    for path, methods in document()["paths"].items():
        for operation in methods.values():
            for media in operation.get("requestBody", {}).get("content", {}).values():
                examples = list(media.get("examples", {}))
                assert "small" not in examples[1:], path


def test_every_member_is_described() -> None:
    """Where it stands, or by the one schema that it refers to."""
    bare = []
    for name, schema in schemas().items():
        for key, member in schema.get("properties", {}).items():
            ways = [member, *member.get("anyOf", [])]
            named = [one["$ref"].rpartition("/")[2] for one in ways if "$ref" in one]
            inherited = len(named) == 1 and "description" in schemas()[named[0]]
            if "description" not in member and not inherited:
                bare.append(f"{name}.{key}")
    assert bare == []


CLOSED = {
    "OrderRow.form", "ProductRow.form", "LayerRow.kind", "FindingRow.code", "LedgerRow.account",
    "JointRow.on", "FastenerRow.pattern", "CutPlanRow.objective", "SurfaceRow.support",
    "MoistureCheckRow.check",
}  # fmt: skip


@pytest.mark.parametrize("member", sorted(CLOSED))
def test_closed_lists_of_answers_are_told(member: str) -> None:
    name, _, key = member.partition(".")
    told = schemas()[name]["properties"][key]
    assert any(len(one.get("enum", ())) > 2 for one in [told, *told.get("anyOf", [])])


def test_every_header_of_an_answer_is_declared() -> None:
    for methods in document()["paths"].values():
        for operation in methods.values():
            counted = "401" in operation["responses"]
            for status, told in operation["responses"].items():
                assert "X-Request-Id" in told["headers"]
                is_told = {"RateLimit", "RateLimit-Policy"} <= set(told["headers"])
                assert is_told == (counted and status not in ("401", "431")), status
