"""What is where: the page at /, and that each address answers HEAD and says what it has."""

from __future__ import annotations

import asyncio
import json
import re

import pytest
from fastapi.routing import APIRoute

from service.app import assemble
from tests.contract.standins import Catalogue
from tests.contract.test_errors import SETTINGS

APP = assemble(SETTINGS, Catalogue())


def asked(path: str, method: str = "GET", accept: str | None = None, app=APP):
    """Status, headers and body of what the application answers, without a server."""
    headers = [] if accept is None else [(b"accept", accept.encode())]
    scope = {"type": "http", "method": method, "path": path, "raw_path": path.encode(),
             "query_string": b"", "headers": headers, "client": ("127.0.0.1", 9),
             "http_version": "1.1", "scheme": "http", "server": ("x", 80)}  # fmt: skip
    sent = []

    async def receive():
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message):
        sent.append(message)

    asyncio.run(app(scope, receive, send))
    found = {name.decode(): value.decode() for name, value in sent[0]["headers"]}
    return sent[0]["status"], found, b"".join(one.get("body", b"") for one in sent[1:])


@pytest.mark.parametrize(
    ("accept", "media"),
    [
        (None, "application/json"), ("*/*", "application/json"),
        ("text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", "text/html"),
        ("application/json", "application/json"),
    ],
)  # fmt: skip
def test_people_get_a_page_and_programs_get_links(accept, media):
    status, headers, body = asked("/", accept=accept)
    assert status == 200
    assert headers["content-type"].split(";")[0] == media
    assert headers["vary"] == "Accept"
    assert headers["etag"].startswith('W/"')
    assert '</openapi.json>; rel="service-desc"' in headers["link"]
    if media == "text/html":
        assert "default-src 'none'" in headers["content-security-policy"]
        assert re.search('<a href="/quote">', body.decode())
    else:
        assert {link["rel"] for link in json.loads(body)["links"]} >= {"service-doc", "status"}


def test_every_link_leads_somewhere():
    _, _, body = asked("/")
    links = [link["href"] for link in json.loads(body)["links"]]
    assert {"/docs", "/quote", "/openapi.json", "/v1/rows/template.csv"} <= set(links)
    # No compute process runs here, which is what the last of them tells.
    assert {path: asked(path)[0] for path in links} == {
        path: 503 if path == "/health/ready" else 200 for path in links
    }
    bare = SETTINGS.model_copy(update={"docs": False, "quote": False})
    _, headers, body = asked("/", app=assemble(bare, Catalogue()))
    assert b"/docs" not in body
    assert "service-doc" not in headers["link"]
    assert b"/quote" not in body


ADDRESSES = sorted(
    (route.path, method)
    for route in APP.routes
    if isinstance(route, APIRoute)
    for method in route.methods
)


def test_each_address_says_which_methods_it_has_and_answers_head_where_there_is_get():
    for path, method in ADDRESSES:
        here = path.format(kind="x", id="x", number="1", surface="x")
        status, headers, body = asked(here, "DELETE")
        assert (status, json.loads(body)["status"]) == (405, 405)
        assert headers["allow"] == ("GET, HEAD" if method == "GET" else "POST"), path
        if method == "GET":
            (status, told, nothing), (same, whole, _) = asked(here, "HEAD"), asked(here)
            assert (status, nothing) == (same, b""), path
            assert told["content-type"] == whole["content-type"], path
