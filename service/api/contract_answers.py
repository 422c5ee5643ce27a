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

_NAME: Final = {"type": "string", "pattern": "^[a-z0-9_-]{1,32}$", "maxLength": 32}

_NUMBER: Final = {"type": "string", "pattern": "^[0-9]{1,2}(\\.[0-9]{1,2})?$", "maxLength": 5}

_TEXT: Final = {"type": "string", "maxLength": 1000}

SCHEMAS: Final[dict[str, Any]] = {
    "Kinds": {
        "title": "Kinds", "type": "object", "required": ["kinds"],
        "description": "The kinds of layer.",
        "properties": {"kinds": {"type": "array", "maxItems": 1000, "items": _NAME}},
    },
    "Kind": {
        "title": "Kind", "type": "object", "required": ["kind", "title", "forms", "rules"],
        "description": "One kind of layer: its forms of product, rules, defaults, schemas.",
        "properties": {
            "kind": _NAME,
            "title": _TEXT,
            "forms": {"type": "array", "maxItems": 100, "items": _NAME},
            "rules": {"type": "array", "maxItems": 200,
                      "items": {"$ref": "#/components/schemas/KindRule"}},
            "layer_schema": {"type": "object", "description": "JSON schema of the layer."},
            "product_schemas": {"type": "object", "description": "JSON schema of each form."},
            "cautions": {"type": "array", "maxItems": 100, "items": _TEXT,
                         "description": "Cautions that an answer with such a layer repeats."},
            "not_computed": {"type": "array", "maxItems": 100, "items": _TEXT,
                             "description": "What it leaves to others."},
        },
    },
    "KindRule": {
        "title": "KindRule", "type": "object", "required": ["key", "description", "defaults"],
        "description": "One rule that can be set of a kind.",
        "properties": {
            "key": {**_TEXT, "description": "Its key in `rules`."},
            "description": {"type": ["string", "null"], "description": "What it says."},
            "defaults": {"type": "array", "maxItems": 100,
                         "items": {"$ref": "#/components/schemas/RuleDefault"},
                         "description": "What holds where it is not sent."},
        },
    },
    "RuleDefault": {
        "title": "RuleDefault", "type": "object", "required": ["rule", "default", "why"],
        "description": "A default of a rule.",
        "properties": {
            "rule": {**_NUMBER, "description": "Number of the rule of the trade."},
            "default": {"description": "As the kind's table writes it."},
            "why": {**_TEXT, "description": "Why it is that."},
        },
    },
    "Tables": {
        "title": "Tables", "type": "object", "required": ["tables"],
        "description": "The tables in use.",
        "properties": {
            "tables": {
                "type": "array", "maxItems": 1000,
                "items": {
                    "type": "object", "required": ["id", "title", "document"],
                    "properties": {"id": _TEXT, "title": _TEXT, "document": _TEXT},
                },
            }
        },
    },
    "Table": {
        "title": "Table", "type": "object", "required": ["id"],
        "description": "One table as its file has it: its source, and its rows or entries by key.",
        "properties": {
            "id": {**_TEXT, "description": "Its id."},
            "title": {**_TEXT, "description": "What it is called."},
            "document": {**_TEXT, "description": "The document that it is taken from."},
        },
        "additionalProperties": True,
    },
    "RuleBook": {
        "title": "RuleBook", "type": "object", "required": ["rules"],
        "description": "The rules of the trade by number.",
        "properties": {
            "rules": {
                "type": "array", "maxItems": 1000,
                "items": {
                    "type": "object", "required": ["number", "name"],
                    "properties": {"number": _NUMBER, "name": _TEXT},
                },
            }
        },
    },
    "TradeRule": {
        "title": "TradeRule", "type": "object",
        "required": ["number", "name", "sentence", "source", "defaults"],
        "description": "One rule of the trade: what it says, and the defaults that it sets.",
        "properties": {
            "number": _NUMBER, "name": _TEXT, "sentence": _TEXT,
            "source": {**_TEXT, "description": "Published source, or `common practice`."},
            "defaults": {"type": "array", "maxItems": 100, "items": {
                "type": "object", "required": ["kind", "key", "default", "why"],
                "properties": {"kind": _NAME, "key": _TEXT, "why": _TEXT,
                               "default": {"description": "As the kind's table writes it."}}}},
        },
    },
    "Codes": {
        "title": "Codes", "type": "object", "required": ["problems", "codes"],
        "description": "All problem types, and all codes of faults and findings.",
        "properties": {
            "problems": {"type": "array", "maxItems": 100, "description": "By status.",
                         "items": {"$ref": "#/components/schemas/ProblemTold"}},
            "codes": {"type": "array", "maxItems": 1000, "description": "By sort, then by code.",
                      "items": {"$ref": "#/components/schemas/CodeTold"}},
        },
    },
    "ProblemTold": {
        "title": "ProblemTold", "type": "object",
        "required": ["type", "status", "title", "says"],
        "description": "One problem type.",
        "properties": {
            "type": {**_TEXT, "description": "Its `type`, the address of its page."},
            "status": {"type": "integer", "minimum": 400, "maximum": 599,
                       "description": "Its HTTP status."},
            "title": {**_TEXT, "description": "Its title."},
            "says": {**_TEXT, "description": "What it means, and what to do."},
        },
    },
    "CodeTold": {
        "title": "CodeTold", "type": "object", "required": ["code", "sort", "says"],
        "description": "One code of a fault or a finding.",
        "properties": {
            "code": {**_TEXT, "description": "The code."},
            "sort": {"type": "string", "enum": ["json", "shape", "refusal", "finding"],
                     "description": "`json`, `shape` and `refusal`: a fault in `errors` of a "
                     "problem (malformed-json, shape-refused, trade-refused or limit-exceeded). "
                     "`finding`: of an answer. A code may be both."},
            "says": {**_TEXT, "description": "What it means."},
        },
    },
    "Health": {
        "title": "Health", "type": "object", "required": ["status"],
        "description": "That the service lives, or that it can take work.",
        "properties": {"status": {"type": "string", "enum": ["live", "ready"]}},
    },
}  # fmt: skip
"""Schemas of the small answers."""


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
_SMALL: Final = {
    "listKinds": ("Kinds", "The kinds."), "describeKind": ("Kind", "The kind."),
    "listTables": ("Tables", "The tables."), "readTable": ("Table", "The table."),
    "listRules": ("RuleBook", "The rules."), "readRule": ("TradeRule", "The rule."),
    "listCodes": ("Codes", "The codes."),
    "isLive": ("Health", "The process is alive."), "isReady": ("Health", "It can take work."),
}  # fmt: skip


def given(operation: str, examples: Mapping[str, Any]) -> dict[str, Any]:
    """The answers of a small `operation` that are not problems, by status."""
    schema, description = _SMALL[operation]
    shape = {"$ref": f"#/components/schemas/{schema}"}
    content = {"application/json": {"schema": shape, "examples": dict(examples)}}
    return given_as(description, content, tagged=schema != "Health")


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
