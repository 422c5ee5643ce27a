"""The command as it is run: `python -m service serve`, with its real compute processes."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from service.api.compute_process import WARM_UP

ROOT = Path(__file__).parents[2]
JSON = {"Content-Type": "application/json"}


class Server:
    """A running server, its processes and a client."""

    def __init__(self, *arguments: str, **environment: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "service", "serve", "--port", "0", *arguments],
            cwd=ROOT, env={**os.environ, **environment}, stdout=subprocess.PIPE,
            text=True, start_new_session=True,
        )  # fmt: skip
        assert self.process.stdout is not None
        base = re.search(r"http://\S+", self.process.stdout.readline())
        assert base is not None
        self.client = httpx.Client(base_url=base[0], timeout=30, trust_env=False)

    def until_ready(self) -> Server:
        for _ in range(600):
            try:
                if self.client.get("/health/ready").status_code == 200:
                    return self
            except httpx.TransportError:
                assert self.process.poll() is None, "the server ended"
            time.sleep(0.1)
        raise AssertionError("not ready")

    def post(self, body: bytes = WARM_UP) -> httpx.Response:
        return self.client.post("/v1/takeoffs", content=body, headers=JSON)

    def processes(self) -> set[int]:
        """Every process of the server's session, itself included."""
        return {pid for pid, session in _sessions() if session == self.process.pid}

    def computing(self) -> set[int]:
        """The processes that its fork servers have made."""
        tree = {pid: _parent(pid) for pid in self.processes()}
        forkers = {pid for pid in tree if "forkserver" in _command(pid)
                   and "forkserver" not in _command(tree[pid])}  # fmt: skip
        return {pid for pid, parent in tree.items() if parent in forkers}

    def end(self) -> float:
        """Send SIGTERM and wait; gives the seconds until every process is gone."""
        began = time.monotonic()
        self.process.send_signal(signal.SIGTERM)
        self.process.wait(30)
        while self.processes() and time.monotonic() - began < 30:
            time.sleep(0.05)
        return time.monotonic() - began

    def kill(self) -> None:
        """Leave nothing behind, whatever the test did."""
        self.client.close()
        for pid in self.processes():
            os.kill(pid, signal.SIGKILL)
        self.process.wait(10)
        assert self.process.stdout is not None
        self.process.stdout.close()


def _sessions() -> Iterator[tuple[int, int]]:
    for folder in Path("/proc").iterdir():
        if folder.name.isdigit():
            try:
                fields = (folder / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            if fields[0] != "Z":
                yield int(folder.name), int(fields[3])


def _parent(pid: int) -> int:
    try:
        return int(Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[1])
    except OSError:
        return 0


def _command(pid: int) -> str:
    try:
        return Path(f"/proc/{pid}/cmdline").read_text()
    except OSError:
        return ""


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
            time.sleep(1.2)
            assert server.end() < 15
            said, _ = caller.communicate(timeout=20)
        assert said.strip() == "200"
        assert server.processes() == set()
    finally:
        server.kill()


def test_a_setting_that_cannot_be_is_refused_at_the_start():
    ended = subprocess.run(
        [sys.executable, "-m", "service", "serve", "--port", "0", "--compute", "0"],
        cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert ended.returncode != 0
    assert "processes" in ended.stderr
