"""The command as it is run: `python -m service serve`, with its real compute processes."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import httpx
import pytest

from service.api.compute_process import WARM_UP
from tests.end_to_end.running import JSON, ROOT, Server

MOST_KEPT = 20_000_000
"""Bytes that all processes together may hold more than before, once a large job is answered."""


@pytest.fixture
def server() -> Iterator[Server]:
    one = Server("--workers", "1", "--compute", "2")
    try:
        yield one.until_ready()
    finally:
        one.kill()


def test_a_job_is_answered_and_the_same_bytes_come_again(server):
    first = server.post()
    assert first.status_code == 200
    assert first.json()["summary"]
    assert "server" not in first.headers
    for _ in range(5):
        assert server.post().content == first.content


def test_the_next_request_after_a_killed_compute_process_is_served(server):
    expected = server.post().content
    killed = server.computing()
    assert len(killed) == 2
    for pid in killed:
        os.kill(pid, signal.SIGKILL)
    answers = [server.post() for _ in range(4)]
    assert [one.status_code for one in answers] == [200] * 4
    assert {one.content for one in answers} == {expected}
    assert not killed & server.computing()


def test_sigterm_ends_every_process(server):
    assert server.post().status_code == 200
    assert len(server.processes()) > 3
    assert server.end() < 15
    assert server.processes() == set()
    assert server.process.returncode == 0


def test_sigterm_at_the_start_ends_every_process_too():
    server = Server("--workers", "1", "--compute", "2")
    try:
        assert server.client.get("/health/live").status_code == 200
        assert server.end() < 15
        assert server.processes() == set()
        assert server.process.returncode == 0
    finally:
        server.kill()


def test_readiness_tells_the_truth_in_each_phase():
    """Starting, ready, draining: new work is refused while what there is goes on to its end."""
    server = Server(
        "--workers", "1", "--compute", "1", TAKEOFF_FUNCTION="tests.contract.standins:slow",
        TAKEOFF_DEADLINE_SECONDS="5", TAKEOFF_DRAIN_SECONDS="2",
    )  # fmt: skip
    try:
        starting = server.client.get("/health/ready")
        assert (starting.status_code, starting.json()["title"]) == (
            503, "The service is not ready yet",
        )  # fmt: skip
        server.until_ready()
        with ThreadPoolExecutor(1) as threads:
            under_way = threads.submit(server.post, b'{"act":"sleep","seconds":2}')
            time.sleep(0.5)
            server.process.send_signal(signal.SIGTERM)
            time.sleep(0.5)
            for answer in (server.client.get("/health/ready"), server.post(b"{}")):
                assert answer.status_code == 503
                assert answer.json()["type"].endswith("/stopping")
                assert int(answer.headers["retry-after"]) >= 1
            assert server.client.get("/health/live").status_code == 200
            assert under_way.result().status_code == 200
        assert server.end() < 15
        assert server.process.returncode == 0
        with pytest.raises(httpx.TransportError):
            server.client.get("/health/live")
    finally:
        server.kill()


def test_a_killed_server_process_is_replaced_and_its_compute_processes_end():
    server = Server("--workers", "2", "--compute", "1")
    try:
        server.until_ready()
        before = server.serving()
        assert len(before) == 2
        killed = min(before)
        os.kill(killed, signal.SIGKILL)
        for _ in range(100):
            if len(server.serving() - {killed}) == 2 and len(server.computing()) == 2:
                break
            time.sleep(0.1)
        assert len(server.serving() - {killed}) == 2
        assert len(server.computing()) == 2
        assert server.until_ready().post().status_code == 200
        assert "a server process was lost" in server.log()
        assert server.end() < 15
        assert server.process.returncode == 0
    finally:
        server.kill()


def test_a_killed_fork_server_is_replaced_and_goes_on_where_it_was():
    server = Server("--workers", "2", "--compute", "1")
    try:
        server.until_ready()
        killed, before = server.forking(), server.computing()
        assert len(killed) == 1
        os.kill(*killed, signal.SIGKILL)
        for pid in before:
            os.kill(pid, signal.SIGKILL)
        assert server.post().status_code == 200
        assert server.computing()
        assert not server.computing() & before
        assert len(server.forking() - killed) == 1
        assert "the fork server was lost" in server.log()
        assert server.end() < 15
        assert server.processes() == set()
        assert server.process.returncode == 0
    finally:
        server.kill()


def test_what_the_processes_have_in_common_lies_in_memory_once():
    """As it is set by default, and nothing to do: 250 MB, where each alone would take 80."""
    server = Server()
    try:
        server.until_ready()
        for _ in range(100):
            if len(server.computing()) == 4:
                break
            time.sleep(0.1)
        assert (len(server.serving()), len(server.computing())) == (2, 4)
        assert server.memory() < 250e6
    finally:
        server.kill()


def test_a_frozen_server_process_is_replaced():
    server = Server("--workers", "2", "--compute", "1", TAKEOFF_SILENT_SECONDS="6")
    try:
        server.until_ready()
        frozen = min(server.serving())
        os.kill(frozen, signal.SIGSTOP)
        for _ in range(200):
            if frozen not in server.serving() and len(server.serving()) == 2:
                break
            time.sleep(0.1)
        assert frozen not in server.serving()
        assert server.until_ready().post().status_code == 200
    finally:
        server.kill()


def test_server_processes_end_when_their_supervisor_is_killed():
    server = Server("--workers", "2", "--compute", "1")
    try:
        server.until_ready()
        server.process.kill()
        server.process.wait(10)
        for _ in range(150):
            if not server.processes():
                break
            time.sleep(0.1)
        assert server.processes() == set()
    finally:
        server.kill()


def test_a_service_that_cannot_start_says_so_and_ends(tmp_path):
    """A kind that breaks when it is read, in each of the server processes."""
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / "__init__.py").write_text("raise RuntimeError('broken kind')\n")
    ended = subprocess.run(
        [sys.executable, "-m", "service", "serve", "--port", "0", "--workers", "2"],
        cwd=ROOT, env={**os.environ, "TAKEOFF_KINDS_PATH": str(tmp_path)},
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert ended.returncode == 3
    assert "broken kind" in ended.stderr


def test_counters_are_of_all_server_processes():
    server = Server("--workers", "2", "--compute", "1")
    try:
        server.until_ready()
        for _ in range(8):
            with httpx.Client(base_url=server.client.base_url, trust_env=False) as client:
                assert client.get("/v1/kinds").status_code == 200
        told = server.client.get("/metrics").text
        line = 'takeoff_requests_total{method="GET",route="/v1/kinds",status="200"} 8.0'
        assert line in told
        assert 'takeoff_processes{process="serve"} 2.0' in told
        assert "takeoff_build_info{" in told
    finally:
        server.kill()


def test_two_server_processes_answer_alike_and_end_together():
    server = Server("--workers", "2", "--compute", "1")
    try:
        server.until_ready()
        answers = []
        for _ in range(12):
            with httpx.Client(base_url=server.client.base_url, trust_env=False) as client:
                answers.append(
                    client.post("/v1/takeoffs", content=WARM_UP, headers=JSON, timeout=30)
                )
        assert {one.status_code for one in answers} == {200}
        assert len({one.content for one in answers}) == 1
        assert server.end() < 15
        assert server.processes() == set()
    finally:
        server.kill()


def test_a_job_under_way_at_sigterm_is_still_answered_or_told(tmp_path):
    """The service says goodbye to new work and finishes what it has."""
    server = Server(
        "--workers", "1", "--compute", "1",
        TAKEOFF_FUNCTION="tests.contract.standins:act", TAKEOFF_DEADLINE_SECONDS="5",
    )  # fmt: skip
    try:
        server.until_ready()
        body = '{"act":"sleep","seconds":2}'
        address = str(server.client.base_url) + "/v1/takeoffs"
        script = (f"import httpx; print(httpx.post({address!r}, content={body!r}, timeout=20, "
                  f"headers={JSON!r}, trust_env=False).status_code)")  # fmt: skip
        with subprocess.Popen(
            [sys.executable, "-c", script], stdout=subprocess.PIPE, text=True
        ) as caller:
            free = server.connections()
            until = time.monotonic() + 15
            while server.connections() == free and time.monotonic() < until:
                time.sleep(0.02)
            time.sleep(0.5)
            assert server.end() < 15
            said, _ = caller.communicate(timeout=20)
        assert said.strip() == "200"
        assert server.processes() == set()
        assert server.process.returncode == 0
    finally:
        server.kill()


def test_a_setting_that_cannot_be_is_refused_at_the_start():
    ended = subprocess.run(
        [sys.executable, "-m", "service", "serve", "--port", "0", "--compute", "0"],
        cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert ended.returncode != 0
    assert "processes" in ended.stderr


def test_a_compute_process_whose_owner_is_gone_says_nothing():
    """It was at work when its server was killed: there is nobody to tell."""
    server = Server(
        "--workers", "2", "--compute", "1", TAKEOFF_FUNCTION="tests.contract.standins:act"
    )
    try:
        server.until_ready()
        with ThreadPoolExecutor(4) as threads:
            asked = [threads.submit(server.post, b'{"act":"sleep","seconds":2}') for _ in range(4)]
            time.sleep(1)
            for pid in server.serving():
                os.kill(pid, signal.SIGKILL)
            assert all(isinstance(one.exception(), httpx.TransportError) for one in asked)
        time.sleep(3)
        assert "Traceback" not in server.log()
        assert all(json.loads(line) for line in server.log().splitlines())
    finally:
        server.kill()


def test_what_a_large_job_took_is_given_back():
    """After a hall of some five thousand pieces a compute process is nearly as small as before."""
    job = json.loads((ROOT / "openapi/examples/large.json").read_bytes())
    hall = {**job["surfaces"][0], "rectangle": ["200 ft", "120 ft"], "openings": []}
    server = Server("--workers", "1", "--compute", "1").until_ready()
    try:
        assert server.post(json.dumps(job).encode()).status_code == 200
        before = server.memory()
        for _ in range(2):
            body = json.dumps({**job, "surfaces": [hall]}).encode()
            assert server.post(body).status_code == 200
        until = time.monotonic() + 5
        while server.memory() > before + MOST_KEPT and time.monotonic() < until:
            time.sleep(0.1)
        assert server.memory() <= before + MOST_KEPT
    finally:
        server.kill()
