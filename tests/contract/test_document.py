"""The committed OpenAPI document is the contract: it is what is served, and it holds together."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import httpx
import jsonschema_rs
import pytest

from service.answering.operation import JSON
from service.answering.registry import OPERATIONS
from service.api.askings import ASKINGS
from service.api.forms import BY_NAME
from service.api.problems import MEDIA, TABLE, declined_by
from service.api.settings import Settings
from service.app import OPENAPI, create_app, openapi_document
from service.compute import answer
from tests.contract.hostile.walking import resolved
from tests.contract.serving import serving

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def client() -> Iterator[httpx.Client]:
    with serving(create_app(Settings(processes=1, deadline_seconds=60))) as one:
        yield one


@cache
def whole() -> dict[str, Any]:
    """The document as it is made, once."""
    made: dict[str, Any] = json.loads(openapi_document(create_app()))
    return made


@pytest.fixture
def document() -> dict[str, Any]:
    return whole()


@cache
def sent(client: httpx.Client, path: str, file: Path) -> httpx.Response:
    """What is answered to an example, asked once."""
    return client.post(path, content=file.read_bytes(), headers={"Content-Type": JSON})


def operations(document) -> Iterator[tuple[str, str, dict[str, Any]]]:
    for path, methods in document["paths"].items():
        for method, operation in methods.items():
            yield path, method, operation


def nodes(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, dict):
        yield value
        for inner in value.values():
            yield from nodes(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from nodes(inner)


@cache
def validator(name: str) -> jsonschema_rs.Draft202012Validator:
    """Of a named schema; what answers may have more in a later version, they have not in this."""
    schema = {"$ref": f"#/components/schemas/{name}", "components": closed_components()}
    return jsonschema_rs.Draft202012Validator(schema)


@cache
def closed_components() -> Any:
    """All that schemas refer to."""
    return closed(whole()["components"])


def validated(schema: Any) -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(schema)


def closed(value: Any) -> Any:
    """The same schemas without members that they do not name."""
    if isinstance(value, list):
        return [closed(one) for one in value]
    if not isinstance(value, dict):
        return value
    inner = {key: closed(one) for key, one in value.items()}
    named = isinstance(value.get("properties"), dict) and value.get("type") == "object"
    return {"additionalProperties": False, **inner} if named else inner


def test_the_committed_document_is_what_is_served(client):
    assert (OPENAPI / "openapi.json").read_bytes() == client.get("/openapi.json").content


def test_the_command_compares_and_tells():
    ended = subprocess.run(
        [sys.executable, "-m", "service", "openapi", "--check"],
        cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert ended.returncode == 0, ended.stderr


def test_it_is_canonical(document):
    text = json.dumps(document, indent=1, ensure_ascii=False) + "\n"
    assert openapi_document(create_app()) == text.encode()


def test_every_reference_leads_somewhere(document):
    for node in nodes(document):
        for reference in [node.get("$ref"), *node.get("mapping", {}).values()]:
            if isinstance(reference, str) and reference.startswith("#"):
                place: Any = document
                for part in reference.removeprefix("#/").split("/"):
                    place = place[part]


def test_every_schema_is_a_sound_one_and_is_used(document):
    written = json.dumps(document)
    for name, schema in document["components"]["schemas"].items():
        jsonschema_rs.meta.validate(schema)
        assert name in ("Job", "Answer") or f'"#/components/schemas/{name}"' in written, name
    assert "HTTPValidationError" not in written


def test_every_operation_is_told_in_full(document):
    tags = {tag["name"] for tag in document["tags"]}
    ids = [operation["operationId"] for _, _, operation in operations(document)]
    assert len(set(ids)) == len(ids) >= 10
    for path, method, operation in operations(document):
        assert method in ("get", "post"), path
        assert operation["summary"]
        assert operation["description"]
        assert set(operation["tags"]) <= tags
        assert {"200", "431", "500"} <= set(operation["responses"])
        for status, response in operation["responses"].items():
            assert response["description"]
            assert "X-Request-Id" in response["headers"]
            assert (MEDIA in response.get("content", {})) == (int(status) >= 400)


def test_every_problem_is_some_operations_or_the_frameworks(document):
    told = {
        resolved(one, document)["value"]["type"]
        for _, _, operation in operations(document)
        for response in operation["responses"].values()
        for one in response.get("content", {}).get(MEDIA, {}).get("examples", {}).values()
    }
    framework = {TABLE[name].type for name in ("BadRequest", "MethodNotAllowed", "OriginRefused")}
    assert told | framework == {kind.type for kind in TABLE.values()}


def test_every_example_fits_its_schema_and_is_shown(document):
    seen: set[tuple[str, str]] = set()
    for _, _, operation in operations(document):
        contents = [operation.get("requestBody", {}), *operation["responses"].values()]
        for media in (one for content in contents for one in content.get("content", {}).values()):
            name = media["schema"].get("$ref", "").rpartition("/")[2]
            sound = validator(name) if name else validated(media["schema"])
            for example in media.get("examples", {}).values():
                told, value = example["$ref"], resolved(example, document)
                if (told, name) not in seen:
                    seen.add((told, name))
                    assert sound.is_valid(value["value"]), told
    assert {told for told, _ in seen} == {
        f"#/components/examples/{name}" for name in document["components"]["examples"]
    }


def test_what_a_request_may_be_is_bounded(document):
    """Every string, list and number of a request states its limits."""
    asked = _reached(document, "Job")
    for name in asked:
        for node in nodes(document["components"]["schemas"][name]):
            kind = node.get("type")
            if kind == "string" and "enum" not in node and "const" not in node:
                assert "maxLength" in node, (name, node)
            if kind == "array":
                assert "maxItems" in node, (name, node)
            if kind in ("number", "integer"):
                assert "maximum" in node or "exclusiveMaximum" in node, (name, node)
            if kind == "object" and "properties" in node:
                assert node.get("additionalProperties") is False, name


ONLY_ASKED = {"Answer": {"certificates", "trace"}}
"""Members that an answer has only where the request asks for them."""


def test_no_member_of_an_answer_has_a_default(document):
    for name in _reached(document, "Answer"):
        schema = document["components"]["schemas"][name]
        assert not any("default" in node for node in nodes(schema.get("properties", {})))
        always = set(schema.get("properties", {})) - ONLY_ASKED.get(name, set())
        assert set(schema.get("required", ())) == always, name


def _reached(document, name: str, seen: set[str] | None = None) -> set[str]:
    seen = set() if seen is None else seen
    if name in seen:
        return seen
    seen.add(name)
    for node in nodes(document["components"]["schemas"][name]):
        if "$ref" in node:
            _reached(document, node["$ref"].rpartition("/")[2], seen)
    return seen


EXAMPLES = [
    (one, file)
    for one in OPERATIONS.values()
    for file in sorted((OPENAPI / "examples" / one.examples).glob("*.json"))
]


@pytest.mark.parametrize(
    ("operation", "file"), EXAMPLES, ids=[f"{one.name}-{file.stem}" for one, file in EXAMPLES]
)
def test_every_example_is_answered_as_the_document_says(client, document, operation, file):
    response = sent(client, f"/v1/{operation.name}", file)
    assert response.status_code == 200, response.text
    validator(operation.reply().__name__).validate(response.json())
    stored = file.parent / "answers" / file.name
    if stored.is_file():
        assert json.loads(stored.read_bytes()) == response.json()


def shown(document, path: str, method: str) -> dict[str, Any]:
    """The media type that an address answers with, what is said of it, its examples by name."""
    (told,) = document["paths"][path][method]["responses"]["200"]["content"].items()
    examples = {name: resolved(one, document) for name, one in told[1].get("examples", {}).items()}
    return {"media": told[0], "schema": told[1]["schema"], "examples": examples}


def test_whatever_can_be_read_has_an_example(document):
    """But for packed forms, a drawing's page of group codes, and the schemas of a kind."""
    for path, method, operation in operations(document):
        told = shown(document, path, method)
        is_read = told["schema"].get("format") != "binary" and told["media"] != "image/vnd.dxf"
        has_any = is_read and operation["operationId"] != "describeKind"
        assert bool(told["examples"]) == has_any, operation["operationId"]


WRITTEN = [(one, name) for one in ASKINGS for name in one.forms if BY_NAME[name].media != JSON]


@pytest.mark.parametrize(
    ("asking", "form"), WRITTEN, ids=[f"{one.operation.name}.{form}" for one, form in WRITTEN]
)
def test_the_small_example_comes_in_each_form_as_it_is_shown(client, document, asking, form):
    told = shown(document, f"{asking.path}.{form}", "post")
    if not told["examples"]:
        return
    small = document["components"]["examples"][f"{asking.operation.name}.asked.small"]["value"]
    came = client.post(f"{asking.path}.{form}", json=small)
    assert came.headers["Content-Type"].partition(";")[0] == told["media"]
    assert {"small": {"value": came.content.decode()}} == told["examples"]


def test_what_is_read_without_a_body_comes_as_it_is_shown(client, document):
    """Where a path has a name in it, the example is called by that name."""
    for path, method, operation in operations(document):
        if method != "get" or operation["tags"] == ["rows"]:
            continue
        for name, example in shown(document, path, method)["examples"].items():
            asked = re.sub("{.*}", name, path)
            came = client.get(asked)
            assert came.status_code == 200, asked
            assert example == {"value": came.json()}, asked


def test_every_answer_has_one_form_and_every_form_an_address(document):
    """So that a client made from the document knows what it gets."""
    for _, _, operation in operations(document):
        assert len(operation["responses"]["200"]["content"]) == 1
    for asking in ASKINGS:
        for name in asking.forms:
            shown = document["paths"][f"{asking.path}.{name}"]["post"]["responses"]["200"]
            assert list(shown["content"]) == [BY_NAME[name].media]


def test_some_tables_of_an_answer_are_what_the_whole_says(client, document):
    """What is no table is there as well; nothing else is."""
    body = (OPENAPI / "examples" / "small.json").read_bytes()
    headers = {"Content-Type": "application/json"}
    whole = client.post("/v1/takeoffs", content=body, headers=headers).json()
    asked = client.post("/v1/takeoffs?tables=order,findings", content=body, headers=headers).json()
    validator("AnswerParts").validate(asked)
    always = {"version", "units", "not_computed", "request"}
    assert asked == {name: whole[name] for name in whole if name in always | {"order", "findings"}}
    assert list(asked) == [name for name in whole if name in asked]


@pytest.mark.parametrize("name", OPERATIONS)
def test_the_smallest_example_has_its_answer_in_the_document(document, name):
    media = document["paths"][f"/v1/{name}"]["post"]["responses"]["200"]["content"]
    assert "small" in media["application/json"]["examples"]


def test_kinds_and_tables_are_as_the_document_says(client, document):
    for kind in client.get("/v1/kinds").json()["kinds"]:
        validator("Kind").validate(client.get(f"/v1/kinds/{kind}").json())
    tables = client.get("/v1/tables").json()
    validator("Tables").validate(tables)
    for table in tables["tables"]:
        validator("Table").validate(client.get(f"/v1/tables/{table['id']}").json())


def test_every_rule_of_an_answer_can_be_read(client, document):
    book = client.get("/v1/rules").json()
    validator("RuleBook").validate(book)
    numbers = {rule["number"] for rule in book["rules"]}
    for number in numbers:
        rule = client.get(f"/v1/rules/{number}").json()
        validator("TradeRule").validate(rule)
        assert rule["number"] == number
    answer = sent(client, "/v1/takeoffs", OPENAPI / "examples" / "full.json").json()
    cited = {row["rule"] for part in ("basis", "findings", "relaxed") for row in answer[part]}
    assert len(cited) > 20
    assert cited - {None} <= numbers


def test_codes_are_told_and_each_problem_type_is_an_address(client, document):
    told = client.get("/v1/codes").json()
    validator("Codes").validate(told)
    for problem in told["problems"]:
        shown = client.get(problem["type"])
        assert shown.status_code == 200
        assert shown.headers["Content-Type"].startswith("text/html")
        assert problem["title"] in unescape(shown.text)


def test_a_rule_tells_the_defaults_that_it_sets(client):
    rule = client.get("/v1/rules/6.5").json()
    assert {(one["kind"], one["key"]) for one in rule["defaults"]} >= {
        ("boarding", "stagger"),
        ("boarding", "repeat"),
    }
    assert client.get("/v1/rules/99.9").status_code == 404


def test_a_name_that_is_not_there_is_told_the_nearest(client):
    kind, table = (client.get(f"/v1/{one}").json() for one in ("kinds/bording", "tables/wod"))
    assert "did you mean `boarding`? /v1/kinds lists them." in kind["detail"]
    assert "/v1/tables lists them." in table["detail"]


SPOILED = {
    "MalformedJson": (b'"unit": "in",', b'"unit": "in", "unit": "ft",'),
    "ShapeRefused": (b'"spacing": 16', b'"spacing": 0'),
    "TradeRefused": (b'"direction": 0 ', b'"direction": 90 '),
}
"""What is changed in the small example so that it is refused as the document shows."""


@pytest.mark.parametrize("name", SPOILED)
def test_examples_of_problems_are_what_the_service_says(document, name: str) -> None:
    """The small example with one thing wrong is refused just so: nothing there is invented."""
    body = (ROOT / "openapi" / "examples" / "small.json").read_bytes()
    assert body.count(SPOILED[name][0]) == 1
    refused = answer(body.replace(*SPOILED[name]))
    assert refused.kind == name
    kind = TABLE[name]
    given = document["paths"]["/v1/takeoffs"]["post"]["responses"][str(kind.status)]
    shown = resolved(given["content"][MEDIA]["examples"][kind.slug], document)["value"]
    problem = json.loads(declined_by(name, refused.body).body("any"))
    assert shown["errors"] == problem["errors"]
    assert (shown["type"], shown["count"]) == (problem["type"], problem["count"])
