"""The OpenAPI 3.1 document: the framework's paths, our schemas, every status and its headers.

The committed `openapi/openapi.json` is the contract; a test compares it with what is served.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from pydantic.json_schema import models_json_schema

from service import __version__
from service.answering.operation import AnyOperation
from service.api.contract_answers import (
    ASKED,
    HEADERS,
    KEY,
    PROBLEMS,
    SCHEMAS,
    TAGS,
    given,
    problem_answers,
)
from service.api.problems import ERROR_SCHEMA, PROBLEM_SCHEMA
from service.schemas.base import Given

_REF: Final = "#/components/schemas/"
_DESCRIPTION: Final = (
    "From the measure of a boarded surface to everything that it takes: courses, pieces, joints, "
    "cut plan, fasteners, order, and a ledger of every bought square inch. Stateless; the same "
    "request gives the same bytes. Every error is application/problem+json (RFC 9457). Clients "
    "must pass over members of an answer that they do not know."
)


def build(
    app: FastAPI,
    operations: Collection[AnyOperation],
    examples: Path,
    known: Mapping[str, Sequence[str]],
) -> dict[str, Any]:
    """The document of `app`.

    `operations` are those that take a body; `examples` is a folder of requests, `<name>.json`, with
    an answer in `answers/<name>.json` where there is one, each operation's in its own; `known`
    gives the values of path parameters that exist.
    """
    document = get_openapi(
        title="Surface takeoff",
        version=__version__,
        openapi_version="3.1.0",
        description=_DESCRIPTION,
        routes=app.routes,
        tags=[{"name": name, "description": text} for name, text in TAGS.items()],
    )
    document["servers"] = [{"url": "/", "description": "The server of this document."}]
    document["security"] = []
    document["components"] = {
        "schemas": _schemas(operations),
        "headers": dict(HEADERS),
        "securitySchemes": {"key": KEY},
    }
    for path in document["paths"].values():
        for operation in path.values():
            _complete(operation, known)
    for one in operations:
        path = document["paths"][f"/v1/{one.name}"]
        _show_bodies(path["post"], one, examples / one.examples)
    return document


def written(document: Mapping[str, Any]) -> bytes:
    """The document in its one canonical form: sorted keys, indent 1, a newline at the end."""
    return (json.dumps(document, sort_keys=True, indent=1, ensure_ascii=False) + "\n").encode()


def _complete(operation: dict[str, Any], known: Mapping[str, Sequence[str]]) -> None:
    name = operation["operationId"]
    for parameter in operation.get("parameters", ()):
        parameter["schema"] = _never_null(parameter["schema"])
        if values := known.get(parameter["name"]):
            parameter["examples"] = {value: {"value": value} for value in values}
    if "KeyNeeded" in PROBLEMS[name]:
        operation["security"] = [{}, {"key": []}]
    operation["responses"] = {**given(name), **problem_answers(PROBLEMS[name])}


def _show_bodies(operation: dict[str, Any], asked: AnyOperation, examples: Path) -> None:
    """What is sent to an operation and what comes back, with examples of both."""
    operation["requestBody"] = {
        "required": True,
        "description": ASKED[asked.id],
        "content": {
            "application/json": {
                "schema": {"$ref": _REF + asked.request().__name__},
                "examples": _examples(examples),
            }
        },
    }
    media = operation["responses"]["200"]["content"]["application/json"]
    media["examples"] = _examples(examples / "answers")


def _never_null(schema: Mapping[str, Any]) -> dict[str, Any]:
    """The schema of a parameter that may be absent, which is not the same as null."""
    kept = {key: value for key, value in schema.items() if key not in ("anyOf", "description")}
    for one in schema.get("anyOf", ()):
        if one != {"type": "null"}:
            kept |= one
    return kept


def _examples(folder: Path) -> dict[str, Any]:
    return {
        file.stem: {"value": json.loads(file.read_bytes())}
        for file in sorted(folder.glob("*.json"))
    }


def _schemas(operations: Collection[AnyOperation]) -> dict[str, Any]:
    """All schemas by name. Raises ValueError where two different ones claim a name."""
    schemas: dict[str, Any] = {}
    for one in (
        _asked(operations),
        *(_replied(operation.reply()) for operation in operations),
        SCHEMAS,
        {"Problem": PROBLEM_SCHEMA, "ProblemError": ERROR_SCHEMA},
    ):
        for name, schema in one.items():
            if schemas.setdefault(name, schema) != schema:
                raise ValueError(f"two schemas are called {name}")
    return schemas


def _asked(operations: Iterable[AnyOperation]) -> dict[str, Any]:
    """The shapes of what is sent, and of their parts, each once."""
    models: Any = [(one.request(), "validation") for one in operations]
    _, whole = models_json_schema(models, ref_template=_REF + "{model}")
    shapes: dict[str, Any] = whole["$defs"]
    return shapes


def _replied(shape: type[Given]) -> dict[str, Any]:
    """The shape of an answer, and those of its parts."""
    schema = shape.model_json_schema(mode="serialization", ref_template=_REF + "{model}")
    return {**schema.pop("$defs", {}), shape.__name__: schema}
