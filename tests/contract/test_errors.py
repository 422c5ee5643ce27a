"""Every error is a problem of the one table, whoever raises it; every answer has its headers."""

from __future__ import annotations

import json
import re
import time
import uuid
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx
import pytest

from service.api import protocol
from service.api.askings import ASKINGS
from service.api.forms import FORMS
from service.api.problems import MEDIA, MOST_BYTES, TABLE
from service.api.settings import Settings
from service.app import assemble
from tests.contract.serving import exchange, serving
from tests.contract.standins import SECRET, Catalogue

LIMIT = 20_000
SETTINGS = Settings(
    function="tests.contract.standins:act", processes=2, waiting=1, deadline_seconds=4,
    body_bytes=LIMIT, body_seconds=1, retry_after_seconds=3, memory_megabytes=2_000,
)  # fmt: skip
JSON = {"Content-Type": "application/json"}


@pytest.fixture(scope="module")
def client() -> Iterator[httpx.Client]:
    with serving(assemble(SETTINGS, Catalogue())) as one:
        yield one


def post(client, job, **options):
    return client.post("/v1/takeoffs", json=job, **options)


def is_problem(response: httpx.Response, name: str) -> dict:
    """The problem in `response`, which must be the one called `name` and complete."""
    kind = TABLE[name]
    assert response.status_code == kind.status, response.text
    assert response.headers["content-type"] == MEDIA
    assert len(response.content) <= MOST_BYTES
    problem = response.json()
    assert problem["type"] == kind.type
    assert problem["title"] == kind.title
    assert problem["status"] == kind.status
    assert problem["detail"]
    assert problem["instance"] == uuid.UUID(problem["instance"]).urn
    has_headers(response)
    return problem


def has_headers(response: httpx.Response) -> None:
    headers = response.headers
    assert headers["x-content-type-options"] == "nosniff"
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "unsafe-eval" not in headers["content-security-policy"]
    assert re.fullmatch(r"[A-Za-z0-9._-]{1,64}", headers["x-request-id"])
    assert "cache-control" in headers
    assert "server" not in headers


@pytest.mark.parametrize(
    ("job", "name"),
    [
        ({"act": "refuse", "kind": "MalformedJson"}, "MalformedJson"),
        ({"act": "refuse", "kind": "ShapeRefused"}, "ShapeRefused"),
        ({"act": "refuse", "kind": "TradeRefused"}, "TradeRefused"),
        ({"act": "refuse", "kind": "LimitExceeded"}, "LimitExceeded"),
        ({"act": "law"}, "LawBroken"),
        ({"act": "escape"}, "Escaped"),
        ({"act": "refuse", "kind": "Unheard"}, "Escaped"),
        ({"act": "die"}, "Interrupted"),
        ({"act": "memory"}, "Interrupted"),
    ],
)
def test_each_outcome_of_a_job_has_its_problem(client, job, name):
    response = post(client, job)
    is_problem(response, name)
    assert SECRET not in response.text
    if response.status_code == 503:
        assert response.headers["retry-after"] == "3"


def test_a_refusal_keeps_its_places_and_cures(client):
    problem = is_problem(post(client, {"act": "refuse", "kind": "TradeRefused"}), "TradeRefused")
    assert problem["count"] == 1
    assert problem["errors"] == [
        {
            "pointer": "/surfaces/0/layers/0/start", "code": "course-small",
            "detail": "A course is too small.", "rule": "3.3", "measure": 1.5, "limit": 2.5,
            "cure": [{"op": "add", "path": "/surfaces/0/layers/0/start", "value": "balanced"}],
        }
    ]  # fmt: skip


def test_many_long_faults_are_cut_to_the_size_and_the_count_is_kept(client):
    job = {"act": "refuse", "kind": "ShapeRefused", "faults": 20, "count": 5_000,
           "detail": "\u2033" * 900}  # fmt: skip
    problem = is_problem(post(client, job), "ShapeRefused")
    assert problem["count"] == 5_000
    assert 1 <= len(problem["errors"]) < 20


def test_a_late_job_is_stopped_and_the_next_is_served(client):
    began = time.monotonic()
    response = post(client, {"act": "spin"})
    is_problem(response, "Late")
    assert response.headers["retry-after"] == "3"
    assert time.monotonic() - began < SETTINGS.deadline_seconds + 2
    assert post(client, {}).status_code == 200


def test_a_dead_process_costs_only_its_own_request(client):
    with ThreadPoolExecutor(2) as threads:
        slow = threads.submit(post, client, {"act": "sleep", "seconds": 0.5})
        dead = threads.submit(post, client, {"act": "die"})
        is_problem(dead.result(), "Interrupted")
        assert slow.result().status_code == 200
    assert all(post(client, {}).status_code == 200 for _ in range(4))


def test_a_full_service_refuses_before_it_reads_the_body(client):
    """Three places: two processes and one waiting. The fourth is told without sending a body."""
    with ThreadPoolExecutor(3) as threads:
        busy = [threads.submit(post, client, {"act": "sleep", "seconds": 1}) for _ in range(3)]
        time.sleep(0.4)
        head = b"POST /v1/takeoffs HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\n"
        said = exchange(client, head + b"content-length: 15000\r\n\r\n", seconds=0.3)
        assert all(one.result().status_code == 200 for one in busy)
    assert b" 503 " in said.split(b"\r\n")[0]
    assert b"retry-after: 3" in said.lower()
    assert TABLE["Busy"].type.encode() in said


def test_work_that_its_client_left_is_stopped():
    """The one process spins for a client that has left: the next job gets it all the same."""
    settings = SETTINGS.model_copy(update={"processes": 1, "deadline_seconds": 60})
    with serving(assemble(settings, Catalogue())) as client:
        body = b'{"act":"spin"}'
        head = b"POST /v1/takeoffs HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\n"
        exchange(client, head + b"content-length: %d\r\n\r\n" % len(body) + body, seconds=0.1)
        began = time.monotonic()
        assert post(client, {}).status_code == 200
        assert time.monotonic() - began < 30


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [
        ("GET", "/v1/takeoffs", "POST"),
        ("HEAD", "/v1/takeoffs", "POST"),
        ("PUT", "/v1/takeoffs", "POST"),
        ("OPTIONS", "/v1/takeoffs", "POST"),
        ("POST", "/v1/kinds", "GET, HEAD"),
        ("DELETE", "/v1/tables/boarding.defaults", "GET, HEAD"),
        ("TRACE", "/health/live", "GET, HEAD"),
        ("PATCH", "/openapi.json", "GET, HEAD"),
    ],
)
def test_a_method_that_is_not_there_is_405_with_those_that_are(client, method, path, allowed):
    response = client.request(method, path)
    assert response.status_code == 405
    assert response.headers["allow"] == allowed
    if method != "HEAD":
        is_problem(response, "MethodNotAllowed")


@pytest.mark.parametrize(
    "path",
    ["/index", "/v1", "/v2/takeoffs", "/v1/takeoffs/", "/v1/kinds/", "/docs/", "/redoc",
     "/docs/nothing", "/docs/../settings.py", "/v1/kinds/nothing", "/v1/kinds/NOT%20A%20NAME",
     "/v1/tables/nothing",
     "/v1/kinds/%00", "/v1/kinds/" + "a" * 500],
)  # fmt: skip
def test_what_is_not_there_is_404_and_never_a_redirect(client, path):
    response = client.get(path, headers={"Host": "elsewhere.invalid"})
    is_problem(response, "NotFound")
    assert "location" not in response.headers


@pytest.mark.parametrize(
    "content_type",
    [None, "", "text/plain", "application/x-www-form-urlencoded", "application/jsonx", "json",
     "application/json; charset=utf-7", "application/json; charset=latin-1",
     "application/json; charset=utf-8; charset=utf-16", 'application/json; charset="utf-8',
     "application/xml", "*/*", "multipart/form-data; boundary=x", "application/problem+json"],
)  # fmt: skip
def test_a_body_of_another_type_is_415(client, content_type):
    headers = {} if content_type is None else {"Content-Type": content_type}
    response = client.post("/v1/takeoffs", content=b"{}", headers=headers)
    is_problem(response, "WrongType")
    assert response.headers["accept"] == "application/json"


@pytest.mark.parametrize(
    "content_type",
    ["application/json", "Application/JSON", "application/json;charset=UTF-8",
     'application/json; charset="utf-8"', "application/json; charset=utf8",
     "application/json ; charset=UTF8;", "application/json; charset='utf-8'"],
)  # fmt: skip
def test_json_in_utf_8_is_read(client, content_type):
    headers = {"Content-Type": content_type}
    assert client.post("/v1/takeoffs", content=b"{}", headers=headers).status_code == 200


@pytest.mark.parametrize("coding", ["gzip", "br", "zstd", "deflate", "compress", "x", "gzip, br"])
def test_a_coded_body_is_415_and_never_unpacked(client, coding):
    headers = {**JSON, "Content-Encoding": coding}
    response = client.post("/v1/takeoffs", content=b"{}", headers=headers)
    is_problem(response, "WrongType")
    assert response.headers["accept-encoding"] == "identity"


@pytest.mark.parametrize("size", [LIMIT + 1, 10 * LIMIT, 3_000_000])
@pytest.mark.parametrize("chunked", [False, True])
def test_a_body_over_the_limit_is_413_declared_or_chunked(client, size, chunked):
    def chunks() -> Iterator[bytes]:
        for start in range(0, size, 10_000):
            yield b" " * min(10_000, size - start)

    content = chunks() if chunked else b" " * size
    response = client.post("/v1/takeoffs", content=content, headers=JSON)
    is_problem(response, "TooLarge")
    assert post(client, {}).status_code == 200


def test_a_body_of_just_the_limit_is_read(client):
    assert client.post(
        "/v1/takeoffs", content=b"{}".ljust(LIMIT), headers=JSON
    ).status_code == 200  # fmt: skip


@pytest.mark.parametrize("length", [b"1000000000000", b"9" * 18])
@pytest.mark.parametrize("expect", [b"", b"expect: 100-continue\r\n"])
def test_a_huge_declared_length_is_refused_by_the_head_alone(client, length, expect):
    head = b"POST /v1/takeoffs HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\n"
    said = exchange(client, head + expect + b"content-length: " + length + b"\r\n\r\n")
    assert said.startswith(b"HTTP/1.1 413 ")
    assert b"100 Continue" not in said
    assert said.count(b"HTTP/1.1 ") == 1


def test_an_endless_chunked_body_is_cut(client):
    """The server takes the limit and a little more, answers, and closes."""
    head = (b"POST /v1/takeoffs HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\n"
            b"transfer-encoding: chunked\r\n\r\n")  # fmt: skip
    said = exchange(client, head + (b"2710\r\n" + b" " * 10_000 + b"\r\n") * 20)
    assert said.startswith(b"HTTP/1.1 413 ")


def test_a_body_that_does_not_come_is_408(client):
    head = b"POST /v1/takeoffs HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\n"
    said = exchange(client, head + b"content-length: 100\r\n\r\n{")
    assert said.startswith(b"HTTP/1.1 408 ")
    assert MEDIA.encode() in said


@pytest.mark.parametrize(
    "sent",
    [
        b"nonsense\r\n\r\n",
        b"GET /v1/kinds HTTP/1.1\r\nbad header\r\n\r\n",
        b"POST /v1/takeoffs HTTP/1.1\r\ncontent-length: 1\r\ntransfer-encoding: chunked\r\n\r\n"
        b"0\r\n\r\n",
        b"POST /v1/takeoffs HTTP/1.1\r\ncontent-length: 1\r\ncontent-length: 2\r\n\r\n{}",
        b"POST /v1/takeoffs HTTP/1.1\r\ncontent-length: -1\r\n\r\n",
        b"GET /v1/kinds HTTP/1.1\r\nhost: x\r\nx: a\x00b\r\n\r\n",
    ],
)
def test_bytes_that_are_not_http_get_one_problem(client, sent):
    said = exchange(client, sent)
    assert said.count(b"HTTP/1.1 ") == 1
    assert said.startswith(b"HTTP/1.1 400 ")
    head, body = said.split(b"\r\n\r\n", 1)
    assert MEDIA.encode() in head
    assert json.loads(body)["type"] == TABLE["BadRequest"].type


@pytest.mark.parametrize("sent", [b"", b"GET /v1/kinds HT", b"GET / HTTP/1.1\r\nhost: x\r\n"])
def test_a_head_that_does_not_come_is_408_and_the_connection_closed(client, sent, monkeypatch):
    monkeypatch.setattr(protocol, "HEAD_SECONDS", 0.3)
    said = exchange(client, sent)
    assert said.startswith(b"HTTP/1.1 408 ")
    assert MEDIA.encode() in said


def test_requests_in_one_packet_are_answered_in_order(client):
    one = b"GET %s HTTP/1.1\r\nhost: x\r\n\r\n"
    said = exchange(client, one % b"/health/live" + one % b"/v1/kinds", seconds=1)
    assert said.count(b"HTTP/1.1 200 ") == 2
    assert said.index(b"live") < said.index(b"kinds")


@pytest.mark.parametrize("size", [17_000, 70_000, 1_000_000])
def test_a_large_head_is_431(client, size):
    head = b"GET /v1/kinds HTTP/1.1\r\nhost: x\r\nx-long: " + b"a" * size + b"\r\n\r\n"
    said = exchange(client, head, seconds=2)
    assert said.startswith(b"HTTP/1.1 431 "), said[:100]
    assert MEDIA.encode() in said


@pytest.mark.parametrize(
    ("path", "accept", "media"),
    [
        ("", None, "application/json"),
        ("", "*/*", "application/json"),
        ("", "text/csv", "text/csv"),
        ("", "image/*", "image/svg+xml"),
        ("", "text/csv;q=0.5, image/svg+xml;q=0.9", "image/svg+xml"),
        ("", "text/csv, application/json", "application/json"),
        ("", "application/json;q=0, */*", "image/svg+xml"),
        ("", "text/html,application/xhtml+xml,*/*;q=0.8", "application/json"),
        ("", "TEXT/CSV", "text/csv"),
        ("", "text/plain", "text/plain"),
        ("", "text/*", "text/csv"),
        ("?format=txt", "application/json", "text/plain"),
        ("?format=txt&columns=60", None, "text/plain"),
        ("?format=csv", "application/json", "text/csv"),
        ("?format=svg", "text/html", "image/svg+xml"),
        ("?format=json", "image/svg+xml", "application/json"),
    ],
)
def test_accept_and_format_pick_the_form(client, path, accept, media):
    headers = {} if accept is None else {"Accept": accept}
    response = client.post("/v1/takeoffs" + path, json={}, headers=headers)
    assert response.status_code == 200
    assert response.headers["content-type"].split(";")[0] == media
    assert response.json()["picked"][0] == media
    assert response.headers["vary"] == "Accept"
    has_headers(response)


@pytest.mark.parametrize(
    ("path", "accept"),
    [("", "text/html"), ("", "application/json;q=0"), ("", "*/*;q=0"), ("", "garbage"),
     ("", "image/png, application/zip"), ("?format=png", "*/*"), ("?format=", "*/*")],
)  # fmt: skip
def test_a_form_that_is_not_there_is_406_and_lists_those_that_are(client, path, accept):
    response = client.post("/v1/takeoffs" + path, json={}, headers={"Accept": accept})
    problem = is_problem(response, "NotAcceptable")
    assert problem["available"] == [form.media for form in FORMS]


def test_the_catalogue_is_json_only(client):
    assert is_problem(
        client.get("/v1/kinds", headers={"Accept": "text/csv"}), "NotAcceptable"
    )["available"] == ["application/json"]  # fmt: skip


def test_a_part_of_the_drawing_is_passed_on(client):
    path = "/v1/takeoffs?format=svg&surface=loft&layer=boards"
    response = client.post(path, json={})
    assert response.json()["picked"] == ["image/svg+xml", "loft", "boards"]
    assert "sandbox" in response.headers["content-security-policy"]


@pytest.mark.parametrize(
    "query",
    ["surfce=loft", "surface=loft", "layer=boards", "format=svg&format=svg", "format=svg&surface=",
     "format=csv&tables=LOFT", "format=csv&tables=", "format=csv&tables=pieces&tables=joints",
     "format=svg&surface=LOFT", "format=svg&layer=" + "a" * 33, "format=svg&layer=%00"],
)  # fmt: skip
def test_a_parameter_that_would_be_passed_over_is_refused(client, query):
    response = client.post("/v1/takeoffs?" + query, json={})
    problem = is_problem(response, "ShapeRefused")
    assert problem["errors"][0]["code"] == "parameter"
    assert "LOFT" not in response.text


@pytest.mark.parametrize(
    ("query", "headers"),
    [("?format=csv&tables=pieces", {}), ("?tables=pieces", {"Accept": "text/csv"})],
)
def test_a_table_of_the_csv_is_passed_on(client, query, headers):
    response = client.post("/v1/takeoffs" + query, json={}, headers=headers)
    assert response.status_code == 200
    assert response.json()["table"] == "pieces"
    assert response.headers["content-disposition"] == 'attachment; filename="pieces.csv"'
    order = client.post("/v1/takeoffs?format=csv", json={})
    assert order.json()["table"] is None
    assert order.headers["content-disposition"] == 'attachment; filename="order.csv"'
    assert order.headers["etag"] != response.headers["etag"]


def test_a_table_that_is_not_there_is_named_and_those_that_are_listed(client):
    response = client.post("/v1/takeoffs?format=csv&tables=piece", json={})
    problem = is_problem(response, "ShapeRefused")
    assert "`piece`" in problem["detail"]
    listed = re.findall(r"\w+", problem["errors"][0]["detail"])
    assert {"pieces", "order", "findings"} <= set(listed)


@pytest.mark.parametrize("columns", [60, 80, 100])
def test_the_width_of_the_text_is_passed_on(client, columns):
    response = client.post(f"/v1/takeoffs?format=txt&columns={columns}", json={})
    assert response.status_code == 200
    assert response.json()["columns"] == columns
    assert response.headers["content-disposition"] == 'inline; filename="takeoff.txt"'
    usual = client.post("/v1/takeoffs?format=txt", json={})
    assert usual.json()["columns"] is None
    assert usual.headers["etag"] != response.headers["etag"]


@pytest.mark.parametrize("columns", ["59", "101", "-80", "80.5", "wide", "", "80&columns=90"])
def test_a_width_out_of_bounds_is_refused(client, columns):
    response = client.post(f"/v1/takeoffs?format=txt&columns={columns}", json={})
    assert is_problem(response, "ShapeRefused")["errors"][0]["code"] == "parameter"


def test_columns_go_with_text_alone(client):
    for query in ("?columns=80", "?format=csv&columns=80"):
        problem = is_problem(client.post("/v1/takeoffs" + query, json={}), "ShapeRefused")
        assert "format=txt" in problem["detail"]


def test_tables_go_with_json_and_csv(client):
    for query in ("?format=txt&tables=pieces", "?format=svg&tables=pieces"):
        problem = is_problem(client.post("/v1/takeoffs" + query, json={}), "ShapeRefused")
        assert "format=csv" in problem["detail"]
    for query in (".csv?tables=order,findings", "?format=csv&tables=order,findings"):
        is_problem(client.post("/v1/takeoffs" + query, json={}), "ShapeRefused")


@pytest.mark.parametrize("path", ["?tables=order,findings", ".json?tables=order,findings"])
def test_some_tables_of_the_json_are_passed_on(client, path):
    response = client.post("/v1/takeoffs" + path, json={})
    assert response.json()["parts"] == ["order", "findings"]
    assert "content-disposition" not in response.headers
    assert response.headers["etag"] != post(client, {}).headers["etag"]
    for unknown in ("order,nothing", "order,", ",", "order findings"):
        problem = client.post("/v1/takeoffs", params={"tables": unknown}, json={})
        is_problem(problem, "ShapeRefused")


@pytest.mark.parametrize("asking", ASKINGS, ids=lambda one: one.operation.name)
def test_each_form_has_an_address_of_its_own(client, asking):
    """It answers as the operation's own address does when it is asked for that form."""
    for name in asking.forms:
        own = client.post(f"{asking.path}.{name}", json={}, headers={"Accept": "text/html"})
        picked = client.post(f"{asking.path}?format={name}", json={})
        assert own.status_code == picked.status_code == 200
        assert own.json() | {"pid": 0} == picked.json() | {"pid": 0}
        for header in ("content-type", "content-disposition", "etag", "content-security-policy"):
            assert own.headers.get(header) == picked.headers.get(header)
        is_problem(client.post(f"{asking.path}.{name}?format={name}", json={}), "ShapeRefused")
    is_problem(client.post(f"{asking.path}.exe", json={}), "NotFound")


def test_a_sound_request_id_is_returned_and_any_other_replaced(client):
    named = client.get("/nothing", headers={"X-Request-Id": "order-17.a_B"})
    assert named.headers["x-request-id"] == "order-17.a_B"
    again = client.get("/nothing", headers={"X-Request-Id": "order-17.a_B"})
    assert named.json()["instance"] == again.json()["instance"]
    own = str(uuid.uuid4())
    as_uuid = client.get("/nothing", headers={"X-Request-Id": own})
    assert as_uuid.json()["instance"] == f"urn:uuid:{own}"
    for bad in ("a b", "a" * 65, "<script>", "\u00e9"):
        answer = client.get("/nothing", headers={"X-Request-Id": bad.encode("latin-1")})
        uuid.UUID(answer.headers["x-request-id"])


def test_the_same_body_has_the_same_tag_and_a_post_is_never_304(client):
    first = post(client, {})
    tag = first.headers["etag"]
    assert re.fullmatch(r'W/"[0-9a-f]{32}"', tag)
    again = post(client, {}, headers={"If-None-Match": tag})
    assert (again.status_code, again.headers["etag"]) == (200, tag)
    assert post(client, {"a": 1}).headers["etag"] != tag
    csv = client.post("/v1/takeoffs?format=csv", json={})
    assert csv.headers["etag"] != tag


@pytest.mark.parametrize("path", ["/v1/kinds", "/v1/tables/boarding.defaults", "/docs"])
def test_what_was_read_before_is_304(client, path):
    first = client.get(path)
    assert first.status_code == 200
    tag = first.headers["etag"]
    for held in (tag, tag.removeprefix("W/"), f'"other", {tag}', "*"):
        again = client.get(path, headers={"If-None-Match": held})
        assert (again.status_code, again.content) == (304, b"")
        has_headers(again)
    assert client.get(path, headers={"If-None-Match": '"other"'}).status_code == 200


@pytest.mark.parametrize(
    "path",
    ["/v1/kinds", "/v1/kinds/boarding", "/v1/tables", "/health/live", "/health/ready", "/docs"],
)
def test_head_is_get_without_its_body(client, path):
    full, head = client.get(path), client.head(path)
    assert head.status_code == full.status_code == 200
    assert head.content == b""
    assert head.headers["content-length"] == str(len(full.content))
    has_headers(head)


def test_the_docs_page_and_all_that_it_loads_are_served_here_under_a_strict_policy(client):
    page = client.get("/docs")
    assert page.headers["content-type"].startswith("text/html")
    policy = page.headers["content-security-policy"]
    assert "unsafe" not in policy
    assert "script-src 'self'" in policy
    assert "://" not in page.text
    assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\bon\w+=", page.text)
    loaded = re.findall(r'(?:src|href)="(/[^"]+)"', page.text)
    assert len(loaded) == 4
    for path in loaded:
        file = client.get(path)
        assert file.status_code == 200
        assert file.content
        has_headers(file)


def test_readiness_waits_for_the_first_warm_process():
    """A function that cannot be found never becomes ready; what it is asked for is refused."""
    settings = SETTINGS.model_copy(
        update={"function": "tests.contract.standins:absent", "deadline_seconds": 0.3}
    )
    with serving(assemble(settings, Catalogue()), wait=False) as client:
        response = client.get("/health/ready")
        is_problem(response, "NotReady")
        assert response.headers["retry-after"] == "3"
        assert client.get("/health/live").status_code == 200
        is_problem(post(client, {}), "Late")


def test_the_service_answers_while_all_processes_compute(client):
    with ThreadPoolExecutor(2) as threads:
        busy = [threads.submit(post, client, {"act": "sleep", "seconds": 1}) for _ in range(2)]
        assert client.get("/health/live").status_code == 200
        assert not all(one.done() for one in busy)
        assert all(one.result().status_code == 200 for one in busy)


def test_every_problem_type_is_documented():
    text = (Path(__file__).parents[2] / "openapi" / "problems.md").read_text()
    for kind in TABLE.values():
        assert f"## {kind.slug}" in text
        assert kind.type in text
        assert str(kind.status) in text.split(f"## {kind.slug}")[1].split("\n## ")[0]
