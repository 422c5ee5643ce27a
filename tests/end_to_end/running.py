"""The command as it is run, in a session of its own: its processes, its log, its end."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory, TemporaryFile

import httpx

from service.api.compute_process import WARM_UP

ROOT = Path(__file__).parents[2]
JSON = {"Content-Type": "application/json"}

_OPEN = ("01", "08")
"""States of a connection in /proc/net/tcp: established, and not closed by the server."""


class Server:
    """A running server, its processes and a client."""

    def __init__(self, *arguments: str, **environment: str) -> None:
        self._log = TemporaryFile("w+")  # noqa: SIM115 - closed by `kill`
        self._left = TemporaryDirectory(prefix="takeoff-", ignore_cleanup_errors=True)
        self.process = subprocess.Popen(
            [sys.executable, "-m", "service", "serve", "--port", "0", *arguments],
            cwd=ROOT, env={**os.environ, "TMPDIR": self._left.name, **environment},
            stdout=subprocess.PIPE, stderr=self._log, text=True, start_new_session=True,
        )  # fmt: skip
        assert self.process.stdout is not None
        base = re.search(r"http://\S+", self.process.stdout.readline())
        assert base is not None
        self.client = httpx.Client(base_url=base[0], timeout=120, trust_env=False)

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
        """The processes that take off."""
        return self._named("takeoff-compute")

    def serving(self) -> set[int]:
        """The server processes that the supervisor has started."""
        return self._named("takeoff-serve")

    def forking(self) -> set[int]:
        """The process that the computing ones are forked from."""
        return self._named("takeoff-forks")

    def _named(self, name: str) -> set[int]:
        return {pid for pid in self.processes() if _name(pid) == name}

    def log(self) -> str:
        """What has been written on standard error so far."""
        self._log.seek(0)
        return self._log.read()

    def memory(self) -> int:
        """Resident bytes of all processes, what they share counted in parts."""
        return sum(_kilobytes(pid, "smaps_rollup", "Pss") for pid in self.processes()) * 1024

    def busy(self, seconds: float = 0.5) -> float:
        """The share of one core that all processes take for so long."""
        before = {pid: _ticks(pid) for pid in self.processes()}
        time.sleep(seconds)
        spent = sum(_ticks(pid) - ticks for pid, ticks in before.items())
        return max(0, spent) / os.sysconf("SC_CLK_TCK") / seconds

    def connections(self) -> int:
        """Connections to the listener that are open on the server's side."""
        port = f":{self.client.base_url.port:04X}"
        rows = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()[1:]]
        return sum(row[1].endswith(port) and row[3] in _OPEN for row in rows)

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
            with suppress(ProcessLookupError):  # it may end by itself meanwhile
                os.kill(pid, signal.SIGKILL)
        self.process.wait(10)
        assert self.process.stdout is not None
        self.process.stdout.close()
        self._log.close()
        self._left.cleanup()


def _sessions() -> Iterator[tuple[int, int]]:
    for folder in Path("/proc").iterdir():
        if folder.name.isdigit():
            try:
                fields = (folder / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            if fields[0] != "Z":
                yield int(folder.name), int(fields[3])


def _ticks(pid: int) -> int:
    """Processor time that a process has had, in ticks of the system's clock."""
    try:
        fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return 0
    return int(fields[11]) + int(fields[12])


def _kilobytes(pid: int, file: str, name: str) -> int:
    try:
        text = Path(f"/proc/{pid}/{file}").read_text()
    except OSError:
        return 0
    found = re.search(rf"^{name}:\s+(\d+) kB", text, re.MULTILINE)
    return int(found[1]) if found else 0


def _name(pid: int) -> str:
    try:
        return Path(f"/proc/{pid}/comm").read_text().strip()
    except OSError:
        return ""
