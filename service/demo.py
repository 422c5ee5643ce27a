"""The demo: starts the service, sends it a job as any caller would, and shows the takeoff."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from typing import Final
from urllib.error import URLError
from urllib.request import Request, urlopen

ROOT: Final = Path(__file__).parent.parent
KINDS: Final = Path(__file__).parent / "products/kinds"
JOB: Final = KINDS / "boarding/examples/porch.json"
CHANGE: Final = ROOT / "openapi/examples/changes/hatch.json"
OUT: Final = ROOT / ".build"
PATIENCE: Final = 60.0
"""Seconds to wait for the service to be ready."""


def job_of(name: str | None) -> Path:
    """The invented job of a name, any kind's example, or a `change`; the porch without one.

    Of two kinds that have the name it is the first one's; `trim/den` says which. Raises SystemExit
    with the names that there are.
    """
    if name is None:
        return JOB
    if name == "change":
        return CHANGE
    files = sorted(KINDS.glob("*/examples/*.json"))
    jobs = {f"{file.parts[-3]}/{file.stem}": file for file in files}
    found = [file for key, file in jobs.items() if name in (key, file.stem)]
    if not found:
        raise SystemExit(f"there is no job {name}; there are change, {', '.join(jobs)}")
    return found[0]


def run(name: str | None = None) -> int:
    """Serve on a free port of loopback, take off a job, print it, write answer and drawing."""
    job = job_of(name)
    OUT.mkdir(exist_ok=True)
    port = free_port()
    server = subprocess.Popen(
        [sys.executable, "-m", "service", "serve", "--port", str(port), "--workers", "1",
         "--compute", "1"],
        cwd=ROOT, stdout=subprocess.DEVNULL, env={"TAKEOFF_LOG_LEVEL": "error", **os.environ},
    )  # fmt: skip
    try:
        base = f"http://127.0.0.1:{port}"
        wait_until_ready(base, server)
        _show(base, job)
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(20)
    return 0


def _show(base: str, file: Path) -> None:
    job = file.read_bytes()
    asked = f"{base}/v1/{'changes' if file == CHANGE else 'takeoffs'}"
    answer = _post(asked, job, "application/json")
    drawing = _post(asked, job, "image/svg+xml")
    answered, drawn = (OUT / f"{file.stem}.{kind}" for kind in ("json", "svg"))
    answered.write_bytes(answer)
    drawn.write_bytes(drawing)
    print(_post(asked, job, "text/plain").decode())
    print("The job that was sent:  " + os.path.relpath(file))
    print("The answer in full:     " + os.path.relpath(answered))
    print("The drawing:            " + os.path.relpath(drawn))


def _post(asked: str, job: bytes, accept: str) -> bytes:
    headers = {"Content-Type": "application/json", "Accept": accept}
    with urlopen(Request(asked, job, headers), timeout=30) as answer:
        body: bytes = answer.read()
    return body


def free_port() -> int:
    """A port of loopback that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


def wait_until_ready(base: str, server: subprocess.Popen[bytes]) -> None:
    """Return when the service says that it is ready; raises SystemExit if it stops or is late."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if server.poll() is not None:
            raise SystemExit(f"the service stopped at once, with status {server.returncode}")
        try:
            with urlopen(f"{base}/health/ready", timeout=2):
                return
        except (URLError, OSError):
            time.sleep(0.1)
    raise SystemExit("the service was not ready in time")
