"""The OpenAPI 3.1 document: the framework's paths, our schemas, every status and its headers.

The committed `openapi/openapi.json` is the contract; a test compares it with what is served.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from pydantic.json_schema import models_json_schema

from service import __version__
from service.answering.operation import JSON, AnyOperation
from service.answering.rows import ROWS
from service.api import contract_sheets
from service.api.asking import Asking, Route
from service.api.contract_answers import (
    FILE,
    HEADERS,
    KEY,
    NOT_COUNTED,
    PROBLEMS,
    RATE,
    TAGS,
    WORKING,
    problem_answers,
    problem_examples,
    worked,
)
from service.api.contract_catalogue import SCHEMAS, given
from service.api.contract_named import as_read, referred
from service.api.contract_words import worded
from service.api.forms import JSON_FORM
from service.api.problems import ERROR_SCHEMA, PROBLEM_SCHEMA
from service.schemas.published_json import PublishedSchema

_REF: Final = "#/components/schemas/"
_DESCRIPTION: Final = (
    "From the measure of a boarded surface to everything that it takes: courses, pieces, joints, "
    "cut plan, fasteners, order, and a ledger of every bought square inch. Stateless; the same "
    "request gives the same bytes. Every error is application/problem+json (RFC 9457). Clients "
    "must pass over members of an answer that they do not know."
)


def build(
    app: FastAPI,
    askings: Collection[Asking],
    examples: Path,
    read: Mapping[str, Any],
    known: Mapping[str, Sequence[str]],
    words: Mapping[str, Sequence[str]],
) -> dict[str, Any]:
    """The document of `app`.

    `askings` are the operations that take a body; `examples` is a folder of requests,
    `<name>.json`, with an answer in `answers/<name>.<form>` where there is one, each operation's in
    its own; `read` has examples of what is answered to a request without a body, as
    `<operationId>.<name>`; `known` gives the values of path parameters that exist, `words` those
    that a member of an answer may hold, by `Shape.member`.
    """
    document = get_openapi(
        title="Surface takeoff",
        version=__version__,
        openapi_version="3.1.0",
        description=_DESCRIPTION,
        routes=app.routes,
        tags=[{"name": name, "description": text} for name, text in TAGS.items()],
    )
    document["info"]["license"] = {"name": "MIT", "identifier": "MIT"}
    document["servers"] = [{"url": "/", "description": "The server of this document."}]
    document["security"] = []
    document["components"] = {
        "schemas": worded(_schemas(askings), words),
        "examples": {**problem_examples(), **_shown(askings, examples), **read},
        "headers": dict(HEADERS),
        "securitySchemes": {"key": KEY},
    }
    shown = document["components"]["examples"]
    for route in (route for asking in askings for route in asking.routes):
        _show_work(document["paths"][route.path]["post"], route, shown)
    contract_sheets.show(document["paths"], shown)
    for path in document["paths"].values():
        for operation in path.values():
            _complete(operation, known, shown)
    return document


def written(document: Mapping[str, Any]) -> bytes:
    """The document in its one form: keys as they are read, indent 1, a newline at the end."""
    return (json.dumps(document, indent=1, ensure_ascii=False) + "\n").encode()


def _complete(
    operation: dict[str, Any], known: Mapping[str, Sequence[str]], shown: Iterable[str]
) -> None:
    name = operation["operationId"]
    for parameter in operation.get("parameters", ()):
        parameter["schema"] = _never_null(parameter["schema"])
        if values := known.get(parameter["name"]):
            parameter["examples"] = {value: {"value": value} for value in values}
    if name in PROBLEMS:
        examples = _referred(shown, f"{name}.")
        operation["responses"] = {**given(name, examples), **problem_answers(PROBLEMS[name])}
    if "401" in operation["responses"]:
        operation["security"] = [{}, {"key": []}]
        for status in sorted(set(operation["responses"]) - NOT_COUNTED):
            operation["responses"][status]["headers"] |= RATE


def _show_work(operation: dict[str, Any], route: Route, shown: Iterable[str]) -> None:
    """What is sent to an address of an operation and what comes back, with examples of both."""
    asking, form = route.asking, route.form or JSON_FORM
    name, own = asking.operation.name, route.form is None
    operation["requestBody"] = {
        "required": True,
        "description": asking.body,
        "content": {
            JSON: {
                "schema": {"$ref": _REF + asking.operation.request().__name__},
                "examples": _referred(shown, f"{name}.asked.", None if own else "small"),
            }
        },
    }
    content: dict[str, Any] = {"schema": form.schema}
    if form is JSON_FORM:
        reply = asking.operation.reply().__name__
        content = {"schema": {"$ref": _REF + (reply if own else f"{reply}Parts")}}
    if form is JSON_FORM:
        content["examples"] = _referred(shown, f"{name}.answered.", None if own else "small")
    elif written := _referred(shown, f"{name}.{form.name}."):
        content["examples"] = written
    answered = worked(asking.forms[form.name], form.media, content)
    if form.file is not None:
        answered["200"]["headers"] |= FILE
    names = WORKING if own else [name for name in WORKING if name != "NotAcceptable"]
    operation["responses"] = {**answered, **problem_answers(names)}


def _never_null(schema: Mapping[str, Any]) -> dict[str, Any]:
    """The schema of a parameter that may be absent, which is not the same as null."""
    kept = {key: value for key, value in schema.items() if key not in ("anyOf", "description")}
    for one in schema.get("anyOf", ()):
        if one != {"type": "null"}:
            kept |= one
    return kept


def _shown(askings: Iterable[Asking], folder: Path) -> dict[str, Any]:
    operations = [*(asking.operation for asking in askings), ROWS]
    found = _all_examples(operations, folder)
    return {**found, **contract_sheets.examples(found)}


def _all_examples(operations: Iterable[AnyOperation], folder: Path) -> dict[str, Any]:
    """All examples by name: `takeoffs.asked.small`, `takeoffs.answered.small`, `.csv.small`."""
    found: dict[str, Any] = {}
    for one in operations:
        own = folder / one.examples
        for name, files in (("asked", own), ("answered", own / "answers")):
            for file in sorted(files.glob("*.*"), key=_smallest_first):
                form = file.suffix.removeprefix(".")
                kind = name if form == JSON_FORM.name else form
                found[f"{one.name}.{kind}.{file.stem}"] = {"value": _example(file)}
    return found


def _example(file: Path) -> Any:
    text = file.read_bytes().decode()
    return json.loads(text) if file.suffix == f".{JSON_FORM.name}" else text


def _smallest_first(file: Path) -> tuple[bool, str]:
    return file.stem != "small", file.stem


def _referred(shown: Iterable[str], begins: str, only: str | None = None) -> dict[str, Any]:
    """References to the examples whose names begin so, all or one."""
    stems = [name.removeprefix(begins) for name in shown if name.startswith(begins)]
    return {
        stem: {"$ref": f"#/components/examples/{begins}{stem}"}
        for stem in stems
        if only in (None, stem)
    }


def _schemas(askings: Collection[Asking]) -> dict[str, Any]:
    """All schemas by name. Raises ValueError where two different ones claim a name."""
    schemas: dict[str, Any] = {}
    for one in (
        _asked(asking.operation for asking in askings),
        *(_replied(asking) for asking in askings),
        contract_sheets.schemas(),
        SCHEMAS,
        {"Problem": PROBLEM_SCHEMA, "ProblemError": ERROR_SCHEMA},
    ):
        for name, schema in one.items():
            if schemas.setdefault(name, schema) != schema:
                raise ValueError(f"two schemas are called {name}")
    return as_read(referred(schemas), _roots(askings))


def _roots(askings: Iterable[Asking]) -> Iterator[str]:
    """What is sent and what is answered, operation by operation."""
    for one in askings:
        yield one.operation.request().__name__
        yield one.operation.reply().__name__


def _asked(operations: Iterable[AnyOperation]) -> dict[str, Any]:
    """The shapes of what is sent, and of their parts, each once."""
    models: Any = [(one.request(), "validation") for one in operations]
    _, whole = models_json_schema(
        models, ref_template=_REF + "{model}", schema_generator=PublishedSchema
    )
    shapes: dict[str, Any] = whole["$defs"]
    return shapes


def _replied(asking: Asking) -> dict[str, Any]:
    """The shapes of an answer, of parts of it, and of what they are made of."""
    shape = asking.operation.reply()
    schema = shape.model_json_schema(
        mode="serialization", ref_template=_REF + "{model}", schema_generator=PublishedSchema
    )
    inner, name = schema.pop("$defs", {}), shape.__name__
    parts = {
        **schema,
        "title": f"{name}Parts",
        "description": f"Of {name} the tables that were asked for, and all that is no table.",
        "required": [one for one in schema["required"] if one not in asking.parts],
    }
    return {**inner, name: schema, f"{name}Parts": parts}
