"""Walks the published document: its operations, and every place of their example requests.

Nothing here names an operation or a field, so what is added later is attacked as well.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema_rs

DOCUMENT = Path(__file__).parents[3] / "openapi/openapi.json"
_RAW = "\ue000raw:"

Place = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Raw:
    """A piece of JSON text as it is to be sent, sound or not."""

    text: str


@dataclass(frozen=True, slots=True, eq=False)
class Operation:
    """One method of one path: what it takes and in which forms it answers."""

    method: str
    path: str
    parameters: tuple[Mapping[str, Any], ...]
    schema: Mapping[str, Any] | None
    examples: tuple[Any, ...]
    media: tuple[str, ...]

    @property
    def address(self) -> str:
        """The path with an example in the place of each path parameter."""
        path = self.path
        for parameter in self.parameters:
            if parameter["in"] == "path":
                first = next(iter(parameter["examples"].values()))["value"]
                path = path.replace(f"{{{parameter['name']}}}", str(first))
        return path


@cache
def document() -> dict[str, Any]:
    """The committed OpenAPI document, read once: nobody changes it."""
    read: dict[str, Any] = json.loads(DOCUMENT.read_bytes())
    return read


def operations() -> list[Operation]:
    """Every operation of the document; the smallest example of each comes first."""
    found = document()
    return [
        _operation(method.upper(), path, operation, found)
        for path, methods in found["paths"].items()
        for method, operation in methods.items()
    ]


def taking_a_body() -> list[Operation]:
    """The operations that take JSON; of those that read the same body, the first."""
    found = {str(one.schema): one for one in reversed(operations()) if one.examples}
    return list(reversed(found.values()))


def resolved(value: Any, whole: Mapping[str, Any]) -> Any:
    """What a reference of the document leads to; all else as it is."""
    while isinstance(value, dict) and "$ref" in value:
        place: Any = whole
        for part in value["$ref"].removeprefix("#/").split("/"):
            place = place[part]
        value = place
    return value


def _operation(
    method: str, path: str, operation: Mapping[str, Any], whole: Mapping[str, Any]
) -> Operation:
    content = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
    examples = [
        _light(resolved(one, whole)["value"]) for one in content.get("examples", {}).values()
    ]
    return Operation(
        method,
        path,
        tuple(operation.get("parameters", ())),
        content.get("schema"),
        tuple(sorted(examples, key=lambda one: len(json.dumps(one)))),
        tuple(operation["responses"]["200"].get("content", ())),
    )


def _light(example: Any) -> Any:
    """The same with its search short: what is asked here is how it is read, hundreds of times."""
    short = {"effort": "quick", "choices": False}
    return {key: short.get(key, value) for key, value in example.items()}


@cache
def sound(operation: Operation) -> Callable[[Any], bool]:
    """Says of a body whether the published schema takes it."""
    assert operation.schema is not None
    whole = {**operation.schema, "components": document()["components"]}
    is_sound: Callable[[Any], bool] = jsonschema_rs.validator_for(whole).is_valid
    return is_sound


@cache
def places(operation: Operation) -> list[tuple[Any, Place]]:
    """Every sort of place in the example requests, once, in the smallest example that has it."""
    found: dict[tuple[str, ...], tuple[Any, Place]] = {}
    for example in operation.examples:
        for place in _places(example, ()):
            found.setdefault(sort_of(example, place), (example, place))
    return list(found.values())


def _places(value: Any, at: Place) -> Iterator[Place]:
    yield at
    if isinstance(value, dict):
        for key, member in value.items():
            yield from _places(member, (*at, key))
    elif isinstance(value, list):
        for index, member in enumerate(value):
            yield from _places(member, (*at, index))


def sort_of(example: Any, place: Place) -> tuple[str, ...]:
    """The keys on the way, and of a member of a list its tag: alike for places alike."""
    names = []
    value = example
    for step in place:
        value = value[step]
        tagged = isinstance(step, int) and isinstance(value, dict)
        tag = [str(value[key]) for key in ("kind", "form") if tagged and key in value]
        names.append("".join(["*", *tag]) if isinstance(step, int) else step)
    return tuple(names)


def at(value: Any, place: Place) -> Any:
    """What stands at `place`."""
    for step in place:
        value = value[step]
    return value


def put(value: Any, place: Place, new: Any) -> Any:
    """`value` with `new` at `place`, and with the objects that lead there; the rest is shared."""
    if not place:
        return new
    step, *rest = place
    made = copy.copy(value)
    held = made.get(step, {}) if isinstance(made, dict) and rest else made[step] if rest else None
    made[step] = put(held, tuple(rest), new)
    return made


def without(value: Any, place: Place) -> Any:
    """A copy of `value` without what stands at `place`."""
    made = copy.deepcopy(value)
    del at(made, place[:-1])[place[-1]]
    return made


def renamed(value: Any, old: str, new: str) -> Any:
    """A copy of `value` in which each string `old` is `new`, so that references still hold."""
    if isinstance(value, dict):
        return {key: renamed(member, old, new) for key, member in value.items()}
    if isinstance(value, list):
        return [renamed(member, old, new) for member in value]
    return new if value == old else value


def written(value: Any) -> bytes:
    """`value` as JSON, with each Raw as it stands."""
    raw: list[str] = []

    def mark(one: Any) -> str:
        raw.append(one.text)
        return f"{_RAW}{len(raw) - 1}"

    text = json.dumps(value, default=mark)
    for index, piece in enumerate(raw):
        text = text.replace(json.dumps(f"{_RAW}{index}"), piece)
    return text.encode()
