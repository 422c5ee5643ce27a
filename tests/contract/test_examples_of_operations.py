"""The examples of each operation beside takeoffs: small stays small, together they fill all."""

from __future__ import annotations

import json
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from service.answering.registry import OPERATIONS
from service.compute import Picked, answer
from service.report.tables.flat import answer_shape
from service.request.model import job_schema

FOLDER = Path(__file__).parents[2] / "openapi" / "examples"
OTHERS = [name for name, one in OPERATIONS.items() if one.examples]
Filled = dict[str, set[str]]

OF_JOBS = {"Job", *job_schema()["$defs"]}
"""Shapes of a request that the examples of takeoffs fill."""

OF_TAKEOFFS = {"Answer", *answer_shape().model_json_schema()["$defs"]}
"""Shapes of an answer that the examples of takeoffs fill."""


def examples(name: str) -> dict[str, Any]:
    """The requests of an operation, by the names of their files."""
    folder = FOLDER / OPERATIONS[name].examples
    return {file.stem: json.loads(file.read_bytes()) for file in sorted(folder.glob("*.json"))}


def enter(whole: dict[str, Any], schema: dict[str, Any], value: Any, found: Filled) -> None:
    """Enter in `found` which members of which shape say something: not null, and not empty."""
    if "$ref" in schema:
        name = schema["$ref"].rsplit("/", 1)[1]
        fill(whole, name, whole["$defs"][name], value, found)
    for inner in (*schema.get("anyOf", ()), *schema.get("oneOf", ())):
        enter(whole, inner, value, found)
    if isinstance(value, list):
        for one in value:
            enter(whole, schema.get("items", {}), one, found)


def fill(
    whole: dict[str, Any], name: str, shape: dict[str, Any], value: Any, found: Filled
) -> None:
    members = shape.get("properties", {})
    if not isinstance(value, dict) or not all(_fits(own, value.get(key)) for key, own
                                              in members.items()):  # fmt: skip
        return
    for key, own in members.items():
        if value.get(key) not in (None, "", [], {}):
            found[name].add(key)
            enter(whole, own, value[key], found)


def _fits(own: dict[str, Any], value: Any) -> bool:
    """Whether a value is the fixed word, or one of the words, of a member that has some."""
    words = own.get("enum", [own["const"]] if "const" in own else None)
    return words is None or value is None or value in words


def missing(shape: type, values: Any, known: set[str]) -> dict[str, list[str]]:
    """Members of a shape and its parts that none of the values fills, but for `known` parts."""
    whole = shape.model_json_schema()  # type: ignore[attr-defined]  # every shape has one
    found: Filled = defaultdict(set)
    for value in values:
        fill(whole, shape.__name__, whole, value, found)
    left = {
        name: sorted(set(part["properties"]) - found[name])
        for name, part in {shape.__name__: whole, **whole.get("$defs", {})}.items()
        if "properties" in part and name not in known
    }
    return {name: keys for name, keys in left.items() if keys}


@pytest.mark.parametrize("name", OTHERS)
def test_small_is_under_25_lines(name: str) -> None:
    file = FOLDER / OPERATIONS[name].examples / "small.json"
    assert len(file.read_text(encoding="utf-8").splitlines()) < 25


@pytest.mark.parametrize("name", OTHERS)
def test_examples_fill_every_field(name: str) -> None:
    """What is sent within a job is filled by the examples of jobs."""
    asked = OPERATIONS[name].request()
    has_jobs = "Job" in asked.model_json_schema().get("$defs", {})  # type: ignore[attr-defined]  # every shape has one
    assert missing(asked, examples(name).values(), OF_JOBS if has_jobs else set()) == {}


@pytest.mark.parametrize("name", OTHERS)
def test_answers_fill_every_member_and_are_of_their_shape(name: str) -> None:
    shape, told = OPERATIONS[name].reply(), []
    for request in examples(name).values():
        outcome = answer(json.dumps(request).encode(), Picked(operation=name))
        assert outcome.kind == "answer", outcome.body
        shape.model_validate_json(outcome.body)
        told.append(json.loads(outcome.body))
    assert missing(shape, told, OF_TAKEOFFS) == {}
