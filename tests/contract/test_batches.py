"""Many jobs in one request: in order, as they are ready, each as it would be answered alone."""

from __future__ import annotations

import asyncio
import json
import socket
import time
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress

import httpx
import pytest

from service.api.lines import Lines
from service.api.problems import MEDIA, TABLE
from service.app import assemble
from tests.contract.serving import exchange, serving
from tests.contract.standins import Catalogue
from tests.contract.test_errors import SETTINGS, is_problem, post

PATH = "/v1/batches"
TYPE = {"Content-Type": "application/x-ndjson"}
LINES, BYTES = 12, 200_000
BATCHED = SETTINGS.model_copy(
    update={"deadline_seconds": 1, "batch_lines": LINES, "batch_bytes": BYTES, "batches": 2}
)
SLEEP = {"act": "sleep", "seconds": 0.3}


@pytest.fixture(scope="module")
def client() -> Iterator[httpx.Client]:
    with serving(assemble(BATCHED, Catalogue())) as one:
        yield one


def written(jobs: Iterable[object]) -> bytes:
    return b"".join(one if isinstance(one, bytes) else json.dumps(one).encode() + b"\n"
                    for one in jobs)  # fmt: skip


def batch(client, jobs, **options) -> list[bytes]:
    answer = client.post(PATH, content=written(jobs), headers=TYPE, **options)
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/x-ndjson"
    *lines, end = answer.content.split(b"\n")
    assert end == b""
    return lines


def problem_of(line: bytes, name: str) -> dict:
    told = json.loads(line)
    assert told["type"] == TABLE[name].type, told
    assert told["status"] == TABLE[name].status
    return told


def test_each_line_is_answered_in_its_place_as_it_would_be_alone(client):
    jobs = [
        {"act": "sleep", "seconds": 0.2}, {"note": "second"},
        {"act": "refuse", "kind": "TradeRefused"}, {"act": "heavy"}, {"act": "law"},
        {"act": "die"}, {"note": "last"},
    ]  # fmt: skip
    lines = batch(client, [*jobs[:2], b"\r\n \n", *jobs[2:]])
    assert len(lines) == len(jobs)
    instances = set()
    for job, line in zip(jobs, lines, strict=True):
        alone, told = post(client, job), json.loads(line)
        if alone.status_code == 200:
            # Only the process that answered may be another.
            assert told | {"pid": 0} == alone.json() | {"pid": 0}
        else:
            instances |= {told.pop("instance"), alone.json()["instance"]}
            assert told == {k: v for k, v in alone.json().items() if k != "instance"}
    assert len(instances) == 6


def test_a_late_line_costs_only_itself(client):
    lines = batch(client, [{"act": "spin"}, SLEEP, {"act": "spin"}, SLEEP, SLEEP])
    problem_of(lines[0], "Late")
    problem_of(lines[2], "Late")
    assert all(json.loads(lines[k])["pid"] for k in (1, 3, 4))


def test_an_answer_is_there_before_the_next_line_is_sent(client):
    address = (client.base_url.host, client.base_url.port)
    with socket.create_connection(address, timeout=10) as connection:
        connection.sendall(b"POST /v1/batches HTTP/1.1\r\nhost: x\r\ntransfer-encoding: chunked\r\n"
                           b"content-type: application/x-ndjson\r\n\r\n")  # fmt: skip
        said = b""
        for number in range(1, 4):
            connection.sendall(b"3\r\n{}\n\r\n")
            while said.count(b'"pid"') < number:
                said += connection.recv(65_536)
        connection.sendall(b"0\r\n\r\n")


def test_a_full_service_makes_a_batch_wait_and_a_batch_refuses_nobody(client):
    """Three places for single jobs: all taken, the batch waits; and it takes none of them."""
    with ThreadPoolExecutor(4) as threads:
        alone = [threads.submit(post, client, SLEEP) for _ in range(3)]
        time.sleep(0.1)
        many = threads.submit(batch, client, [SLEEP] * 6)
        assert all(one.result().status_code == 200 for one in alone)
        again = [threads.submit(post, client, SLEEP) for _ in range(3)]
        assert all(one.result().status_code == 200 for one in again)
        assert all(json.loads(line)["pid"] for line in many.result())


def test_more_batches_than_there_are_places_for_are_told_to_come_again(client):
    with ThreadPoolExecutor(2) as threads:
        first = [threads.submit(batch, client, [SLEEP] * 4) for _ in range(2)]
        time.sleep(0.2)
        third = client.post(PATH, content=b"{}\n", headers=TYPE)
        is_problem(third, "Busy")
        assert third.headers["retry-after"] == "3"
        assert all(len(one.result()) == 4 for one in first)


def test_what_is_too_much_is_told_in_its_place(client):
    long = b'{"note":"' + b"x" * SETTINGS.body_bytes + b'"}\n'
    lines = batch(client, [{}, long, {}])
    problem_of(lines[1], "TooLarge")
    assert json.loads(lines[2])["pid"]
    lines = batch(client, [{}] * (LINES + 3))
    assert len(lines) == LINES + 1
    assert str(LINES) in problem_of(lines[-1], "LimitExceeded")["detail"]
    whole = b"%s" % (b" " * 15_000 + b"{}\n")
    chunks = iter([whole] * 20)
    answer = client.post(PATH, content=chunks, headers=TYPE)
    problem_of(answer.content.split(b"\n")[-2], "TooLarge")
    declared = exchange(client, b"POST /v1/batches HTTP/1.1\r\nhost: x\r\ncontent-length: "
                        b"200001\r\ncontent-type: application/x-ndjson\r\n\r\n", 0.3)  # fmt: skip
    assert b" 413 " in declared.split(b"\r\n")[0]


@pytest.mark.parametrize("media", ["application/json", "text/plain", "application/x-ndjson;a=b"])
def test_lines_of_another_type_are_415(client, media):
    is_problem(client.post(PATH, content=b"{}\n", headers={"Content-Type": media}), "WrongType")


@pytest.mark.parametrize("body", [b"", b"\n\n \r\n"])
def test_a_batch_without_a_line_is_refused(client, body):
    answer = client.post(PATH, content=body, headers=TYPE)
    assert is_problem(answer, "ShapeRefused")["errors"][0]["code"] == "no-lines"
    assert answer.headers["content-type"] == MEDIA


def test_a_client_that_sends_nothing_more_is_told_so(client):
    said = exchange(client, b"POST /v1/batches HTTP/1.1\r\nhost: x\r\ncontent-length: 100\r\n"
                    b"content-type: application/x-ndjson\r\n\r\n{}\n{", seconds=1.8)  # fmt: skip
    assert b'"pid"' in said
    assert TABLE["TooSlow"].type.encode() in said


@pytest.mark.parametrize("is_stuck", [False, True])
def test_no_more_is_read_ahead_unless_the_client_waits_for_that(is_stuck):
    """A client that lets its answers lie until it has sent everything is read to its end."""
    settings = SETTINGS.model_copy(update={"body_bytes": 100_000})
    sent = 0

    async def receive() -> dict:
        nonlocal sent
        sent += 1
        if sent > 30:
            await asyncio.sleep(60)
        return {
            "type": "http.request",
            "body": b'"' + b"x" * 99_000 + b'"\n',
            "more_body": sent < 30,
        }

    async def read() -> None:
        lines = Lines(settings)
        with suppress(TimeoutError):
            async with asyncio.timeout(0.5):
                await lines.watch(receive, lambda: is_stuck)

    asyncio.run(read())
    assert (sent >= 30) == is_stuck
    assert is_stuck or sent == 11


def test_work_for_a_client_that_has_left_is_ended():
    """The one process spins for a client that has left: the next job gets it all the same."""
    settings = SETTINGS.model_copy(update={"processes": 1, "deadline_seconds": 60})
    with serving(assemble(settings, Catalogue())) as client:
        body = written([{"act": "spin"}] * 3)
        exchange(client, b"POST /v1/batches HTTP/1.1\r\nhost: x\r\ncontent-length: %d\r\n"
                 b"content-type: application/x-ndjson\r\n\r\n" % len(body) + body,
                 seconds=0.1)  # fmt: skip
        began = time.monotonic()
        assert post(client, {}).status_code == 200
        assert time.monotonic() - began < 30
