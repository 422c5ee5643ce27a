"""What each operation answers, as the OpenAPI document states it: schemas, headers, problems."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, Final

from service.api.problems import MEDIA, TABLE, Declined

EXAMPLE_ID: Final = "0c5f6a52-5f0f-4b0e-9d0b-3f1f6a5b7c11"

TAGS: Final = {
    "takeoffs": "From a job to its takeoff.",
    "rows": "A sheet of rooms for a spreadsheet, and one room for a cell of it.",
    "changes": "From a job as it was to a job as it is to be.",
    "catalogue": "Kinds of layer, the published tables in use, and the rules of the trade.",
    "health": "For whatever starts and watches the service.",
}

_EVERY: Final = ("HeadTooLarge", "Escaped")
_GATE: Final = ("KeyNeeded", "TooMany")
READING: Final = (*_GATE, "NotAcceptable", "ShapeRefused", *_EVERY)
"""The problems that a request without a body may be answered with."""

WORKING: Final = (
    *_GATE, "MalformedJson", "NotAcceptable", "TooSlow", "TooLarge", "WrongType", "ShapeRefused",
    "TradeRefused", "LimitExceeded", "HeadTooLarge", "Escaped", "LawBroken", "Busy", "Late",
    "Interrupted", "Stopping",
)  # fmt: skip
"""The problems that a request for work may be answered with."""

PROBLEMS: Final[dict[str, Sequence[str]]] = {
    "listKinds": READING,
    "describeKind": ("NotFound", *READING),
    "listTables": READING,
    "readTable": ("NotFound", *READING),
    "listRules": READING,
    "listCodes": READING,
    "readRule": ("NotFound", *READING),
    "isLive": _EVERY,
    "isReady": ("NotReady", "Stopping", *_EVERY),
}  # fmt: skip
"""operationId -> the problems that a request without a body may be answered with."""

KEY: Final = {
    "type": "http",
    "scheme": "bearer",
    "description": "A key from the operator. Needed only where the operator has set keys.",
}
"""How a caller shows who asks."""


def _header(description: str, **schema: Any) -> dict[str, Any]:
    return {"description": description, "schema": {"type": "string", **schema}}


HEADERS: Final[dict[str, Any]] = {
    "RequestId": _header(
        "Id of the request: the one sent, where it is sound, or a new one.",
        pattern="^[A-Za-z0-9._-]{1,64}$", maxLength=64,
    ),
    "ETag": _header("Weak validator of the answer.", pattern='^W/"[0-9a-f]{32}"$', maxLength=36),
    "Vary": _header("The request headers that the form depends on.", maxLength=64),
    "Challenge": _header("How to show who asks (RFC 6750).", maxLength=64),
    "RateLimit": _header(
        "What is left of the caller's rate, where the operator has set one: `r` requests within "
        "`t` seconds.", maxLength=64,
    ),
    "RateLimitPolicy": _header(
        "The rate, where the operator has set one: `q` requests in `w` seconds.", maxLength=64,
    ),
    "ContentDisposition": _header("What a file of it is called (RFC 6266).", maxLength=128),
    "RetryAfter": {
        "description": "Seconds after which to send again.",
        "schema": {"type": "integer", "minimum": 1, "maximum": 86_400},
    },
}  # fmt: skip
"""Headers of answers."""

_ID: Final = {"X-Request-Id": {"$ref": "#/components/headers/RequestId"}}
RATE: Final = {
    "RateLimit": {"$ref": "#/components/headers/RateLimit"},
    "RateLimit-Policy": {"$ref": "#/components/headers/RateLimitPolicy"},
}
"""Headers of every answer to a caller whose rate is kept."""

NOT_COUNTED: Final = frozenset({"401", "431"})
"""What is answered before it is counted: who asks is not known, or nothing of it is read."""

FILE: Final = {"Content-Disposition": {"$ref": "#/components/headers/ContentDisposition"}}
"""The header of an answer that is a file."""

_TAG: Final = {"ETag": {"$ref": "#/components/headers/ETag"}}


def given_as(description: str, content: Mapping[str, Any], *, tagged: bool) -> dict[str, Any]:
    """An answer that is no problem, by status; one that is `tagged` need not come again."""
    if not tagged:
        return {"200": {"description": description, "headers": dict(_ID), "content": content}}
    return {
        "200": {"description": description, "headers": {**_ID, **_TAG}, "content": content},
        "304": {"description": "Not changed since (If-None-Match).", "headers": {**_ID, **_TAG}},
    }


def worked(description: str, media: str, content: Mapping[str, Any]) -> dict[str, Any]:
    """The answer to a request for work, in its one form."""
    return {
        "200": {
            "description": description,
            "headers": {**_ID, **_TAG, "Vary": {"$ref": "#/components/headers/Vary"}},
            "content": {media: dict(content)},
        }
    }


def problem_answers(names: Sequence[str]) -> dict[str, Any]:
    """The problems of these names as answers, by status."""
    answers: dict[str, Any] = {}
    for status in sorted({TABLE[name].status for name in names}):
        group = [name for name in names if TABLE[name].status == status]
        headers = dict(_ID)
        if status == 401:
            headers["WWW-Authenticate"] = {"$ref": "#/components/headers/Challenge"}
        if status in (429, 503):
            headers["Retry-After"] = {"$ref": "#/components/headers/RetryAfter"}
        answers[str(status)] = {
            "description": " Or: ".join(f"{TABLE[name].title}." for name in group),
            "headers": headers,
            "content": {MEDIA: {
                "schema": {"$ref": "#/components/schemas/Problem"},
                "examples": {
                    TABLE[name].slug: {"$ref": f"#/components/examples/{TABLE[name].slug}"}
                    for name in group
                },
            }},
        }  # fmt: skip
    return answers


def problem_examples() -> dict[str, Any]:
    """An example of each problem that an operation answers with, by the last part of its type."""
    shown = {*WORKING, *(name for names in PROBLEMS.values() for name in names)}
    return {kind.slug: _example(name) for name, kind in TABLE.items() if name in shown}


def _example(name: str) -> dict[str, Any]:
    problem = Declined(name, TABLE[name].meaning, errors=_ERRORS.get(name, ()))
    return {"summary": TABLE[name].title, "value": json.loads(problem.body(EXAMPLE_ID))}


# Recorded: tests/contract/test_document.py sends the small example, spoiled, and compares.
_ERRORS: Final[dict[str, Sequence[dict[str, Any]]]] = {
    "MalformedJson": [{"code": "duplicate-key", "detail": "an object has the same key twice"}],
    "ShapeRefused": [{
        "pointer": "/surfaces/0/supports/spacing",
        "code": "length",
        "detail": "a length must be greater than zero",
    }],
    "TradeRefused": [{
        "pointer": "/surfaces/0/layers/0/direction",
        "code": "no-bearing",
        "detail": "the boards run with what is behind them, and nothing there takes their "
        "fasteners: set rows of blocks between the joists (`blocks`: true), turn them, or give "
        "the surface a `backing`",
        "rule": "15.2",
        "cure": [{"op": "add", "path": "/surfaces/0/layers/0/blocks", "value": True}],
    }],
}  # fmt: skip
