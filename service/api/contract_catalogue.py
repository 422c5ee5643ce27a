"""What the catalogue and the health of the service answer, as the OpenAPI document states it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from service.api.contract_answers import given_as

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
