"""The image as it is built and run: read-only root, user 10001, labels, health check, answers."""

from __future__ import annotations

import socket
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from service import __version__
from tests.callers.images import built, configured, process
from tests.callers.programs import ROOT
from tests.strategies.asking import outcome

pytestmark = pytest.mark.xdist_group("image")

SMALL = (ROOT / "openapi/examples/small.json").read_bytes()
PLAIN, TRACES = "requirements.lock", "requirements-traces.lock"


def free_port() -> int:
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        port: int = door.getsockname()[1]
        return port


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, subprocess.Popen[str]]]:
    """The address of the service in its image, and its process."""
    image, port = built(PLAIN), free_port()
    sets = {"TAKEOFF_PORT": str(port), "TAKEOFF_HOST": "127.0.0.1"}
    with (tmp_path_factory.mktemp("image") / "log").open("w+") as log:
        run = process(image, configured(image)["Entrypoint"], log, sets)
        yield f"http://127.0.0.1:{port}", run
        run.kill()
        run.wait()


def until_ready(address: str, run: subprocess.Popen[str]) -> None:
    for _ in range(600):
        assert run.poll() is None, "the service ended"
        try:
            if httpx.get(f"{address}/health/ready", trust_env=False).status_code == 200:
                return
        except httpx.TransportError:
            pass
        time.sleep(0.1)
    pytest.fail("not ready")


def in_image(tmp_path: Path, lock: str, program: str, **sets: str) -> tuple[int, str]:
    """The status and the words of a Python program in the image."""
    with (tmp_path / "log").open("w+") as log:
        run = process(built(lock), ["/srv/venv/bin/python", "-c", program], log, sets)
        status = run.wait(60)
        log.seek(0)
        return status, log.read()


def test_the_image_says_what_it_is() -> None:
    config = configured(built(PLAIN))
    assert config["User"] == "10001:10001"
    assert config["StopSignal"] == "SIGTERM"
    labels = config["Labels"]
    assert labels["org.opencontainers.image.version"] == __version__
    assert labels["org.opencontainers.image.licenses"] == "MIT"
    assert labels["org.opencontainers.image.revision"]
    assert config["Healthcheck"]["Test"][:2] == ["CMD", "/srv/venv/bin/python"]


def test_nothing_in_it_can_be_written_and_nobody_can_rise(tmp_path: Path) -> None:
    """Neither its code nor anything beside /tmp; pip is not there."""
    program = (
        "import os, pathlib\n"
        "print(os.getuid(), os.getgid())\n"
        "for place in ('/srv/service/x', '/srv/venv/x', '/etc/x', '/x'):\n"
        "    try: pathlib.Path(place).write_text('x'); print('written', place)\n"
        "    except OSError as fault: print(fault.errno)\n"
        "pathlib.Path('/tmp/x').write_text('x')\n"
        "import importlib.util as u; print(u.find_spec('pip'))\n"
    )
    status, said = in_image(tmp_path, PLAIN, program)
    assert (status, said.split()) == (0, ["10001", "10001", "30", "30", "30", "30", "None"])


def test_it_answers_as_the_service_here_and_is_healthy(
    served: tuple[str, subprocess.Popen[str]], tmp_path: Path
) -> None:
    """To the byte; then its own health check, and the end at SIGTERM."""
    address, run = served
    until_ready(address, run)
    answer = httpx.post(
        f"{address}/v1/takeoffs", content=SMALL, headers={"Content-Type": "application/json"},
        trust_env=False,
    )  # fmt: skip
    assert answer.status_code == 200
    assert answer.content == outcome(SMALL).body
    _, _, *check = configured(built(PLAIN))["Healthcheck"]["Test"]
    port = address.rsplit(":", maxsplit=1)[1]
    assert in_image(tmp_path, PLAIN, check[-1], TAKEOFF_PORT=port) == (0, "")
    status, _ = in_image(tmp_path, PLAIN, check[-1], TAKEOFF_PORT=str(free_port()))
    assert status == 1


def test_it_has_what_traces_need_where_it_is_built_with_them(tmp_path: Path) -> None:
    exporter = "opentelemetry.exporter.otlp.proto.http"
    program = f"import importlib.util as u; print(u.find_spec('{exporter}') is not None)"
    assert in_image(tmp_path, TRACES, program) == (0, "True\n")


def test_it_ends_at_sigterm(tmp_path: Path) -> None:
    """With status 0, by itself."""
    port = free_port()
    sets = {"TAKEOFF_PORT": str(port), "TAKEOFF_HOST": "127.0.0.1"}
    image = built(PLAIN)
    program = (
        "import os, signal, subprocess, sys, time, urllib.request as u\n"
        "run = subprocess.Popen([sys.executable, '-m', 'service', 'serve'])\n"
        "for _ in range(300):\n"
        f"    try: u.urlopen('http://127.0.0.1:{port}/health/ready', timeout=2); break\n"
        "    except OSError: time.sleep(0.1)\n"
        "run.send_signal(signal.SIGTERM)\n"
        "print('ended', run.wait(20))\n"
    )
    with (tmp_path / "log").open("w+") as log:
        run = process(image, ["/srv/venv/bin/python", "-c", program], log, sets)
        assert run.wait(120) == 0
        log.seek(0)
        assert "ended 0" in log.read()
