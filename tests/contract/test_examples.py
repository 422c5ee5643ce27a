"""The examples: small stays small, full fills every field that a request may have."""

import json
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from service.changes.rows import ChangeSummary
from service.compute import Picked, answer
from service.report.tables.changes import TABLES, change_shape
from service.report.tables.flat import answer_shape
from service.request.changes import change_model
from service.request.model import job_schema
from service.schemas.change import Delivered, Installed, Leftover, MadeBy
from service.schemas.columns import columns_of
from tests.strategies import kinds
from tests.strategies.asking import answered, asked
from tests.strategies.requests import board, job, outline

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
SCHEMA = job_schema()
ANSWER = answer_shape().model_json_schema()


def example(name: str) -> Any:
    return json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))


def filled(schema: dict[str, Any], value: Any, found: dict[str, set[str]]) -> None:
    """Enter in `found` which keys of which shape `value` fills."""
    if "$ref" in schema:
        name = schema["$ref"].rsplit("/", 1)[1]
        shape = SCHEMA["$defs"][name]
        if isinstance(value, dict) and fits(shape, value):
            enter(name, shape, value, found)
    for inner in [*schema.get("anyOf", []), *schema.get("oneOf", [])]:
        filled(inner, value, found)
    if isinstance(value, list):
        for one in value:
            filled(schema.get("items", {}), one, found)


def fits(shape: dict[str, Any], value: dict[str, Any]) -> bool:
    """Whether a value's fixed words (its kind, its form) are those of the shape."""
    return all(
        "const" not in own or value.get(key) == own["const"]
        for key, own in shape.get("properties", {}).items()
    )


def enter(name: str, shape: dict[str, Any], value: Any, found: dict[str, set[str]]) -> None:
    for key, own in shape.get("properties", {}).items():
        if value.get(key) is not None:
            found[name].add(key)
            filled(own, value[key], found)


def test_small_is_under_25_lines() -> None:
    assert len((EXAMPLES / "small.json").read_text(encoding="utf-8").splitlines()) < 25


def test_full_fills_every_field() -> None:
    """Shapes of a kind that is not in it are filled by the examples in the kind's own folder."""
    found: dict[str, set[str]] = defaultdict(set)
    enter("Job", SCHEMA, example("full"), found)
    own: dict[str, set[str]] = defaultdict(set)
    for file in kinds.files("examples", "*.json"):
        enter("Job", SCHEMA, kinds.request_of(file), own)
    found = own | found
    shapes = {"Job": SCHEMA, **SCHEMA["$defs"]}
    missing = {
        name: sorted(set(shape["properties"]) - found[name])
        for name, shape in shapes.items()
        if "properties" in shape
    }
    # The job's and the surface's rules are the same keys as the layer's, which are all filled.
    missing.pop("Rules", None)
    assert {name: keys for name, keys in missing.items() if keys} == {}


def told(request: Any) -> Any:
    """The answer to a request that is answered."""
    return answered(request)


def given(shape: dict[str, Any], value: Any, name: str, found: dict[str, set[str]]) -> None:
    """Enter in `found` which members of an answer say something: not null, and not empty."""
    for either in shape.get("anyOf", []):
        given(either, value, name, found)
    if isinstance(value, list):
        for one in value:
            given(shape.get("items", {}), one, name, found)
    elif "$ref" in shape:
        name = shape["$ref"].rsplit("/", 1)[1]
        given(ANSWER["$defs"][name], value, name, found)
    elif isinstance(value, dict):
        for key, own in shape.get("properties", {}).items():
            if value.get(key) not in (None, "", [], {}):
                found[name].add(key)
                given(own, value[key], name, found)


def test_answers_to_the_examples_fill_every_member() -> None:
    """And two jobs more, for openings that merge, what rules cost and cuts that are shared."""
    merged = example("small") | {"effort": "thorough"}
    merged["surfaces"][0]["openings"] = [
        {"id": "lamp", "circle": [60, 60, 6]},
        {"id": "next", "circle": [66.5, 60, 6]},
    ]
    leaning = outline([[0, 0], [36, 0], [51.375, 15.375], [15.375, 15.375]],
                      layer={"start": "full_first"})  # fmt: skip
    shared = job(leaning, board({"length": 79}), rules={"gap": 0, "end_trim": 0.5})
    found: dict[str, set[str]] = defaultdict(set)
    own = (kinds.request_of(file) for file in kinds.files("examples", "*.json"))
    for request in (example("full"), merged, shared, *own):
        given(ANSWER, told(request), "Answer", found)
    missing = {
        name: sorted(set(shape["properties"]) - found[name])
        for name, shape in {"Answer": ANSWER, **ANSWER["$defs"]}.items()
    }
    assert {name: keys for name, keys in missing.items() if keys} == {}


@pytest.mark.parametrize("name", ["small", "large", "full"])
def test_the_answer_is_of_the_published_shape(name: str) -> None:
    outcome = asked(example(name))
    assert outcome.kind == "answer"
    answer_shape().model_validate_json(outcome.body)


def test_full_is_echoed() -> None:
    assert told(example("full"))["request"] == example("full")


CHANGES = sorted((EXAMPLES / "changes").glob("*.json"))


def test_examples_of_changes_fill_what_a_change_has_beside_its_jobs() -> None:
    """Every member that can be sent, and every member that is answered."""
    sent: dict[str, set[str]] = defaultdict(set)
    found: dict[str, set[str]] = defaultdict(set)
    for file in CHANGES:
        request = json.loads(file.read_bytes())
        sent["Change"] |= set(request)
        for name in ("installed", "leftovers", "delivered"):
            rows = request.get(name, ())
            for row in rows if isinstance(rows, list) else ():
                sent[name] |= {key for key, value in row.items() if value is not None}
        sent["before_version"] |= set(request.get("before_version", ()))
        outcome = answer(file.read_bytes(), Picked(operation="changes"))
        assert outcome.kind == "answer", outcome.body
        change_shape().model_validate_json(outcome.body)
        made = json.loads(outcome.body)
        for name in ("summary", "totals", "pieces", "framing", "order", "steps", "before_version"):
            rows = made[name] if isinstance(made[name], list) else [made[name] or {}]
            for row in rows:
                found[name] |= {key for key, value in row.items() if value not in (None, "", [])}
    members = {
        "Change": change_model(), "installed": Installed, "leftovers": Leftover,
        "delivered": Delivered, "before_version": MadeBy,
    }  # fmt: skip
    assert {name: set(shape.model_fields) - sent[name] for name, shape in members.items()} == {
        name: set() for name in members
    }
    tables = {one.name: one.record for one in TABLES} | {"summary": ChangeSummary}
    for name, record in tables.items():
        assert {column.name for column in columns_of(record)} <= found[name], name
    assert found["before_version"] == {"same", "in_words"}
