"""The OpenAPI 3.1 document: the framework's paths, our schemas, every status and its headers.

The committed `openapi/openapi.json` is the contract; a test compares it with what is served.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from service import __version__
from service.api.contract_answers import (
    HEADERS,
    KEY,
    PROBLEMS,
    SCHEMAS,
    TAGS,
    given,
    problem_answers,
)
from service.api.problems import ERROR_SCHEMA, PROBLEM_SCHEMA
from service.report.tables.flat import answer_shape

_REF: Final = "#/components/schemas/"
_DESCRIPTION: Final = (
    "From the measure of a boarded surface to everything that it takes: courses, pieces, joints, "
    "cut plan, fasteners, order, and a ledger of every bought square inch. Stateless; the same "
    "request gives the same bytes. Every error is application/problem+json (RFC 9457). Clients "
    "must pass over members of an answer that they do not know."
)


def build(
    app: FastAPI,
    job_schema: Mapping[str, Any],
    examples: Path,
    known: Mapping[str, Sequence[str]],
) -> dict[str, Any]:
    """The document of `app`.

    `job_schema` is the JSON schema of a request with its $defs; `examples` a folder of requests,
    `<name>.json`, with an answer in `answers/<name>.json` where there is one; `known` gives the
    values of path parameters that exist.
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
        "schemas": _schemas(job_schema),
        "headers": dict(HEADERS),
        "securitySchemes": {"key": KEY},
    }
    for path in document["paths"].values():
        for operation in path.values():
            _complete(operation, examples, known)
    return document


def written(document: Mapping[str, Any]) -> bytes:
    """The document in its one canonical form: sorted keys, indent 1, a newline at the end."""
    return (json.dumps(document, sort_keys=True, indent=1, ensure_ascii=False) + "\n").encode()


def _complete(
    operation: dict[str, Any], examples: Path, known: Mapping[str, Sequence[str]]
) -> None:
    name = operation["operationId"]
    for parameter in operation.get("parameters", ()):
        parameter["schema"] = _never_null(parameter["schema"])
        if values := known.get(parameter["name"]):
            parameter["examples"] = {value: {"value": value} for value in values}
    if "KeyNeeded" in PROBLEMS[name]:
        operation["security"] = [{}, {"key": []}]
    operation["responses"] = {**given(name), **problem_answers(PROBLEMS[name])}
    if name == "takeOff":
        operation["requestBody"] = {
            "required": True,
            "description": "The job.",
            "content": {
                "application/json": {
                    "schema": {"$ref": _REF + "Job"},
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


def _schemas(job_schema: Mapping[str, Any]) -> dict[str, Any]:
    """All schemas by name. Raises ValueError where two different ones claim a name."""
    schemas: dict[str, Any] = {}
    answer = answer_shape().model_json_schema(mode="serialization", ref_template=_REF + "{model}")
    for one in (
        _hoisted("Job", _moved(job_schema)),
        _hoisted("Answer", answer),
        SCHEMAS,
        {"Problem": PROBLEM_SCHEMA, "ProblemError": ERROR_SCHEMA},
    ):
        for name, schema in one.items():
            if schemas.setdefault(name, schema) != schema:
                raise ValueError(f"two schemas are called {name}")
    return schemas


def _hoisted(name: str, schema: Mapping[str, Any]) -> dict[str, Any]:
    root = {key: value for key, value in schema.items() if key not in ("$defs", "$schema", "$id")}
    return {name: root, **schema.get("$defs", {})}


def _moved(schema: Any) -> Any:
    """`schema` with its references (a discriminator's too) turned to the document's schemas."""
    if isinstance(schema, Mapping):
        return {key: _moved(value) for key, value in schema.items()}
    if isinstance(schema, list):
        return [_moved(item) for item in schema]
    if isinstance(schema, str) and schema.startswith("#/$defs/"):
        return schema.replace("#/$defs/", _REF)
    return schema
