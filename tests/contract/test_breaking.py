"""The document breaks nobody who was written to the last released one, unless its version says so.

`python -m tests.contract.test_breaking` keeps the present document as the released one.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from typing import Any, Final

import pytest

from service.app import OPENAPI
from tests.contract.breaking import Breaks, bare

RELEASED: Final = OPENAPI / "released.json"
DOCUMENT: Final = OPENAPI / "openapi.json"
Document = dict[str, Any]


def minor(document: Document) -> tuple[int, int]:
    """The version of a document but for its last number."""
    first, second, _ = document["info"]["version"].split(".")
    return int(first), int(second)


def test_what_breaks_raises_the_version() -> None:
    released, now = (json.loads(file.read_bytes()) for file in (RELEASED, DOCUMENT))
    found = Breaks(released, now).found()
    assert not found or minor(now) > minor(released), found


SMALL: Document = {
    "info": {"version": "1.2.3"},
    "paths": {
        "/v1/a": {
            "post": {
                "parameters": [{"in": "query", "name": "part", "schema": {"type": "string"}}],
                "requestBody": {
                    "content": {
                        "application/json": {"schema": {"$ref": "#/components/schemas/Ask"}}
                    }
                },
                "responses": {
                    "200": {
                        "headers": {"ETag": {}},
                        "content": {
                            "application/json": {"schema": {"$ref": "#/components/schemas/Told"}}
                        },
                    }
                },
            }
        }
    },
    "components": {
        "schemas": {
            "Ask": {
                "type": "object",
                "required": ["unit"],
                "properties": {
                    "unit": {"type": "string", "enum": ["in", "mm"]},
                    "count": {"type": "integer", "maximum": 9},
                    "of": {"anyOf": [{"$ref": "#/components/schemas/Ask"}, {"type": "null"}]},
                },
            },
            "Told": {
                "type": "object",
                "required": ["words"],
                "properties": {"words": {"type": "string"}, "sum": {"type": "number"}},
            },
        }
    },
}


def ask(document: Document) -> Document:
    found: Document = document["components"]["schemas"]["Ask"]
    return found


def told(document: Document) -> Document:
    found: Document = document["components"]["schemas"]["Told"]
    return found


def post(document: Document) -> Document:
    found: Document = document["paths"]["/v1/a"]["post"]
    return found


BREAKS: dict[str, Callable[[Document], object]] = {
    "POST /v1/a is gone": lambda it: it["paths"]["/v1/a"].pop("post"),
    "POST /v1/a takes no part any more": lambda it: post(it).update(parameters=[]),
    "POST /v1/a needs part": lambda it: post(it)["parameters"][0].update(required=True),
    "POST /v1/a knows no application/json any more": lambda it: post(it).pop("requestBody"),
    "POST /v1/a, 200 is gone": lambda it: post(it)["responses"].pop("200"),
    "POST /v1/a, 200 has no header ETag any more": (
        lambda it: post(it)["responses"]["200"].pop("headers")
    ),
    "POST /v1/a/count is gone": lambda it: ask(it)["properties"].pop("count"),
    "POST /v1/a/count is needed": lambda it: ask(it)["required"].append("count"),
    "POST /v1/a/count takes no integer": (
        lambda it: ask(it)["properties"]["count"].update(type="string")
    ),
    "POST /v1/a/count takes less: maximum": (
        lambda it: ask(it)["properties"]["count"].update(maximum=8)
    ),
    "POST /v1/a/unit takes fewer words": lambda it: ask(it)["properties"]["unit"]["enum"].pop(),
    "POST /v1/a/unit has another pattern": (
        lambda it: ask(it)["properties"]["unit"].update(pattern="^i")
    ),
    "POST /v1/a/of can be no Ask any more": lambda it: ask(it)["properties"]["of"]["anyOf"].pop(0),
    "POST /v1/a/of can be no null 1 any more": (
        lambda it: ask(it)["properties"]["of"]["anyOf"].pop(1)
    ),
    "POST /v1/a takes no other members any more": (
        lambda it: ask(it).update(additionalProperties=False)
    ),
    "POST /v1/a, 200/sum is gone": lambda it: told(it)["properties"].pop("sum"),
    "POST /v1/a, 200/words need not be there any more": lambda it: told(it).update(required=[]),
    "POST /v1/a, 200/words may be null": (
        lambda it: told(it)["properties"]["words"].update(type=["string", "null"])
    ),
}


@pytest.mark.parametrize("told_of", BREAKS)
def test_a_break_is_found(told_of: str) -> None:
    broken = deepcopy(SMALL)
    BREAKS[told_of](broken)
    assert Breaks(SMALL, broken).found() == [told_of]


WIDER: dict[str, Callable[[Document], object]] = {
    "a member that may be sent": lambda it: ask(it)["properties"].update(new={"type": "string"}),
    "a word that may be sent": lambda it: ask(it)["properties"]["unit"]["enum"].append("ft"),
    "a word besides those of other types": (
        lambda it: ask(it)["properties"]["of"]["anyOf"].insert(1, {"type": "string", "const": "a"})
    ),
    "a higher bound": lambda it: ask(it)["properties"]["count"].update(maximum=10),
    "a member of the answer": lambda it: told(it)["properties"].update(new={"type": "string"}),
    "an operation": lambda it: it["paths"].update({"/v1/b": {}}),
    "words for people": lambda it: told(it)["properties"]["sum"].update(description="All of it."),
}


@pytest.mark.parametrize("change", WIDER)
def test_what_is_wider_is_no_break(change: str) -> None:
    wider = deepcopy(SMALL)
    WIDER[change](wider)
    assert Breaks(SMALL, wider).found() == []


def test_nothing_that_breaks_is_left_out_of_what_is_kept() -> None:
    described = deepcopy(SMALL)
    told(described)["properties"]["description"] = {"type": "string", "description": "Words."}
    kept = bare(described)
    assert told(kept)["properties"]["description"] == {"type": "string"}
    assert Breaks(described, kept).found() == Breaks(kept, described).found() == []


if __name__ == "__main__":
    made = bare(json.loads(DOCUMENT.read_bytes()))
    RELEASED.write_text(json.dumps(made, separators=(",", ":")) + "\n", encoding="utf-8")
