"""Answers in a content coding: whole, tagged as without it, and line by line where they stream."""

from __future__ import annotations

import asyncio
import gzip
import json
import zlib

import pytest
import zstandard
from starlette.responses import Response

from service.api.batches import MEDIA as LINES
from service.api.coded import LEAST_BYTES, coded
from service.api.streaming import PART_BYTES, InParts, Streamed
from service.app import assemble
from service.compute import Picked, answer
from tests.contract.serving import serving
from tests.contract.standins import Catalogue
from tests.contract.test_errors import SETTINGS

TEXT = json.dumps([{"piece": f"P{k}", "length": k * 7 % 192} for k in range(500)]).encode()
READ = {
    "zstd": lambda body: zstandard.ZstdDecompressor().decompressobj().decompress(body),
    "gzip": gzip.decompress,
    None: bytes,
}


def asked(app, accepted: str | None, path: str = "/") -> tuple[dict[str, str], list[bytes]]:
    """Headers of what `app` answers behind the middleware, and the parts as they are sent."""
    headers = [] if accepted is None else [(b"accept-encoding", accepted.encode())]
    scope = {"type": "http", "method": "GET", "path": path, "headers": headers}
    sent = []

    async def receive():
        return {"type": "http.disconnect"} if sent else {"type": "http.request"}

    async def send(message):
        sent.append(message)

    asyncio.run(coded(app)(scope, receive, send))
    found = {name.decode().lower(): value.decode() for name, value in sent[0]["headers"]}
    return found, [message["body"] for message in sent[1:]]


@pytest.mark.parametrize(
    ("accepted", "coding"),
    [
        (None, None), ("", None), ("identity", None), ("br", None), ("deflate, br", None),
        ("gzip", "gzip"), ("gzip, deflate, br, zstd", "zstd"), ("gzip;q=0.1, identity", "gzip"),
        ("gzip;q=0", None), ("GZIP", "gzip"), ("*", "zstd"), ("zstd;q=0, *", "gzip"),
        ("gzip;q=what", None),
    ],
)  # fmt: skip
def test_the_coding_is_one_that_the_client_reads(accepted, coding):
    tag = {"ETag": 'W/"7"', "Vary": "Accept"}
    headers, parts = asked(Response(TEXT, media_type="application/json", headers=tag), accepted)
    body = b"".join(parts)
    assert headers.get("content-encoding") == coding
    assert READ[coding](body) == TEXT
    assert int(headers["content-length"]) == len(body)
    assert headers["etag"] == 'W/"7"'
    assert {one.strip() for one in headers["vary"].split(",")} == {"Accept", "Accept-Encoding"}
    assert coding is None or len(body) < len(TEXT) / 4


@pytest.mark.parametrize(
    ("media", "size", "status", "is_coded"),
    [
        ("application/json", LEAST_BYTES - 1, 200, False),
        ("application/json", LEAST_BYTES, 200, True),
        ("application/problem+json", LEAST_BYTES, 422, True),
        ("text/csv; charset=utf-8", LEAST_BYTES, 200, True),
        ("image/vnd.dxf", LEAST_BYTES, 200, True),
        ("image/svg+xml", LEAST_BYTES, 200, True),
        ("application/pdf", LEAST_BYTES, 200, False),
        ("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", 9_000, 200, False),
        ("application/json", LEAST_BYTES, 304, False),
    ],
)
def test_what_is_small_or_packed_already_is_sent_as_it_is(media, size, status, is_coded):
    answered = Response(b" " * size, status, media_type=media)
    headers, parts = asked(answered, "zstd, gzip")
    assert ("content-encoding" in headers) == is_coded
    assert (b"".join(parts) == b" " * size) != is_coded


@pytest.mark.parametrize("coding", ["zstd", "gzip"])
def test_each_line_of_a_batch_can_be_read_as_soon_as_it_is_sent(coding):
    lines = [b'{"number":%d}\n' % number for number in range(5)]

    async def each():
        for line in lines:
            yield line

    headers, parts = asked(Streamed(each(), LINES, {}), coding)
    assert headers["content-encoding"] == coding
    assert "content-length" not in headers
    reading = {"zstd": zstandard.ZstdDecompressor, "gzip": lambda: zlib.decompressobj(31)}[coding]()
    reading = getattr(reading, "decompressobj", lambda: reading)()
    read = [reading.decompress(part) for part in parts]
    assert [one for one in read if one] == lines


@pytest.mark.parametrize("coding", ["zstd", "gzip"])
def test_rows_that_come_slowly_are_sent_twice_a_second_and_not_each_by_itself(coding, monkeypatch):
    rows = [b'den %d,in,%d,"T&G 1x6 16 ft"\r\n' % (k, 96 + k * 7 % 90) for k in range(40)]
    clock = iter(range(1_000))
    monkeypatch.setattr("service.api.coded.monotonic", lambda: next(clock) / 8)

    async def each():
        for row in rows:
            yield row

    _, parts = asked(Streamed(each(), "text/csv; charset=utf-8", {}), coding)
    assert READ[coding](b"".join(parts)) == b"".join(rows)
    reading = {"zstd": zstandard.ZstdDecompressor, "gzip": lambda: zlib.decompressobj(31)}[coding]()
    reading = getattr(reading, "decompressobj", lambda: reading)()
    read = [one for one in (reading.decompress(part) for part in parts) if one]
    assert [one.count(b"\r\n") for one in read] == [4] * 10


def test_a_large_answer_is_sent_in_parts_and_others_get_their_turn():
    body = bytes(range(256)) * (PART_BYTES // 64)
    turns = []

    async def answered(scope, receive, send):
        async def noted(message):
            turns.append(len(message.get("body", b"")))
            await send(message)

        async def other():
            while True:
                turns.append("other")
                await asyncio.sleep(0)

        beside = asyncio.create_task(other())
        await InParts(body, media_type="application/json")(scope, receive, noted)
        beside.cancel()

    headers, parts = asked(answered, "gzip")
    assert READ["gzip"](b"".join(parts)) == body
    assert [one for one in turns if one != "other"] == [0, *[PART_BYTES] * 4]
    assert turns.count("other") >= 3
    headers, parts = asked(InParts(body, media_type="application/json"), None)
    assert b"".join(parts) == body
    assert headers["content-length"] == str(len(body))


def test_over_http_head_tells_what_get_would_send_and_nothing_new_is_not_sent():
    with serving(assemble(SETTINGS, Catalogue()), wait=False) as client:
        whole = client.get("/openapi.json", headers={"Accept-Encoding": "gzip"})
        head = client.head("/openapi.json", headers={"Accept-Encoding": "gzip"})
        plain = client.get("/openapi.json", headers={"Accept-Encoding": "identity"})
        assert whole.headers["content-encoding"] == "gzip"
        assert whole.content == plain.content
        assert "content-encoding" not in plain.headers
        for name in ("content-encoding", "content-length", "etag", "vary"):
            assert head.headers[name] == whole.headers[name]
        assert plain.headers["etag"] == whole.headers["etag"]
        held = {"If-None-Match": plain.headers["etag"], "Accept-Encoding": "gzip"}
        again = client.get("/openapi.json", headers=held)
        assert again.status_code == 304
        assert "content-encoding" not in again.headers


def test_order_and_findings_of_sixty_rooms_take_less_than_fifty_kilobytes():
    rooms = [
        {"id": f"room{k}", "rectangle": [96 + k % 9 * 13, 84 + k % 6 * 11],
         "supports": {"direction": 90, "spacing": 16, "thickness": 1.5},
         "layers": [{"id": "boards", "kind": "boarding", "product": "pine", "direction": 0}]}
        for k in range(60)
    ]  # fmt: skip
    pine = {"id": "pine", "form": "board", "profile": "tongue_and_groove", "ends": "square",
            "overall": 5.375, "coverage": 5.125, "thickness": 0.75,
            "stock": [{"length": "8 ft"}, {"length": "12 ft"}, {"length": "16 ft"}]}  # fmt: skip
    job = {"unit": "in", "effort": "quick", "surfaces": rooms, "products": [pine]}
    made = answer(json.dumps(job).encode(), Picked(parts=("order", "findings")))
    assert made.kind == "answer"
    assert len(made.body) > 50_000
    for coding in ("zstd", "gzip"):
        _, parts = asked(InParts(made.body, media_type=made.media), coding)
        assert READ[coding](b"".join(parts)) == made.body
        assert len(b"".join(parts)) < 50_000
