"""Tools of integrators read the document: a strict linter, and a validator in its default mode."""

from __future__ import annotations

import json
from typing import Any

import pytest

from service.app import OPENAPI
from tests.callers.programs import TOOLS, ran, script

DOCUMENT = OPENAPI / "openapi.json"


@pytest.fixture(scope="module")
def document() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(DOCUMENT.read_bytes())
    return read


def test_a_strict_linter_finds_nothing() -> None:
    config = TOOLS / "redocly.yaml"
    told = ran("redocly", "lint", "--config", config, "--format", "json", DOCUMENT)
    assert json.loads(told)["problems"] == []


def contents(document: dict[str, Any]) -> list[tuple[dict[str, Any], str]]:
    """What is sent and answered as JSON, each with the operation that has it."""
    found = []
    for methods in document["paths"].values():
        for operation in methods.values():
            for part in (operation.get("requestBody", {}), *operation["responses"].values()):
                for media, content in part.get("content", {}).items():
                    if media.endswith("json"):
                        found.append((content, operation["operationId"]))
    return found


def examples(document: dict[str, Any]) -> list[dict[str, Any]]:
    """Every example of a request and of an answer, problems too, with the name of its schema."""
    shown = document["components"]["examples"]
    found = {}
    for content, operation in contents(document):
        schema = content["schema"]["$ref"].rpartition("/")[2]
        for one in content.get("examples", {}).values():
            name = one["$ref"].rpartition("/")[2]
            case = {"name": f"{operation}: {name}", "schema": schema, "value": shown[name]["value"]}
            found[name, schema] = case
    return list(found.values())


def test_a_validator_in_its_default_mode_takes_every_example(document: dict[str, Any]) -> None:
    cases = examples(document)
    told = json.loads(script("validate.mjs", DOCUMENT, sent=json.dumps(cases).encode()))
    assert told == {"tried": len(cases), "faults": []}
    assert len(cases) > 40


def test_the_validator_refuses_what_does_not_fit(document: dict[str, Any]) -> None:
    """So that the law above compares something."""
    small = document["components"]["examples"]["takeoffs.asked.small"]["value"]
    cases = [
        {"name": "unit", "schema": "Job", "value": {**small, "unit": "furlong"}},
        {"name": "unknown", "schema": "Job", "value": {**small, "surface": []}},
        {"name": "length", "schema": "Length", "value": "12 cubits"},
    ]
    told = json.loads(script("validate.mjs", DOCUMENT, sent=json.dumps(cases).encode()))
    assert [one.partition(":")[0] for one in told["faults"]] == ["unit", "unknown", "length"]
