"""Every command that the README prints works as printed.

`make test` is left out, since it runs this test. `make serve` is started, waited for, kept for the
commands that ask it, and stopped.
"""

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from urllib.error import URLError
from urllib.request import ProxyHandler, build_opener

import pytest

from service.request.limits import LIMITS
from service.request.model import MOST_PRODUCTS, MOST_SURFACES
from service.schemas.written import MOST_CHARACTERS

pytestmark = pytest.mark.xdist_group("readme")
"""One server for all commands of the README, on the port that it prints."""

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
PORT = 8080
SERVE, TEST = "make serve", "make test"


def blocks(language: str) -> list[str]:
    """The fenced blocks of README in `language`, as printed."""
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)


def commands() -> list[str]:
    return [block.strip() for block in blocks("sh") if block.strip() not in (SERVE, TEST)]


def is_free(port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return False
        return True


def free_port() -> int:
    """The printed port, or any other where something else on this machine holds it."""
    if is_free(PORT):
        return PORT
    with socket.create_server(("127.0.0.1", 0)) as listener:
        return int(listener.getsockname()[1])


def surroundings(port: int) -> dict[str, str]:
    """The environment of a reader's shell: not that of the `make` which runs the tests."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("MAKE")}
    own = {
        "TAKEOFF_PORT": str(port),
        "TAKEOFF_URL": f"http://127.0.0.1:{port}",
        "NO_PROXY": "127.0.0.1",
        "no_proxy": "127.0.0.1",
        "PYTHON": sys.executable,
    }
    return {**kept, **own}


def run(arguments: list[str], environment: Mapping[str, str]) -> str:
    """What a command prints; a failure shows all of it."""
    done = subprocess.run(
        arguments,
        cwd=ROOT,
        env=environment,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout
    return done.stdout


def wait_until_ready(port: int, server: subprocess.Popen[bytes]) -> None:
    opener = build_opener(ProxyHandler({}))
    end = time.monotonic() + 180
    while time.monotonic() < end:
        assert server.poll() is None, f"`{SERVE}` ended with {server.returncode}"
        try:
            opener.open(f"http://127.0.0.1:{port}/health/ready", timeout=5).close()
        except (URLError, OSError):
            time.sleep(0.2)
        else:
            return
    pytest.fail(f"`{SERVE}` is not ready after three minutes")


def stop(server: subprocess.Popen[bytes]) -> None:
    """Stop `make` and all that it started, as Ctrl-C does."""
    os.killpg(server.pid, signal.SIGINT)
    try:
        server.wait(30)
    finally:
        if server.poll() is None:
            os.killpg(server.pid, signal.SIGKILL)
            server.wait(10)


@pytest.fixture(scope="module")
def served() -> Iterator[int]:
    """The port on which the README's `make serve` answers."""
    port = free_port()
    server = subprocess.Popen(
        ["bash", "-c", SERVE],
        cwd=ROOT,
        env=surroundings(port),
        stdin=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        wait_until_ready(port, server)
        yield port
    finally:
        stop(server)
    assert is_free(port), "the server left something behind"


def test_the_readme_opens_with_its_two_commands_and_the_server() -> None:
    assert [block.strip() for block in blocks("sh")][:3] == ["make demo", TEST, SERVE]
    assert len(commands()) >= 5
    assert len(blocks("python")) == 1


@pytest.mark.parametrize("command", commands())
def test_a_printed_command_works(served: int, command: str) -> None:
    if "curl" in command and not shutil.which("curl"):
        pytest.skip("curl is not on this machine")
    printed = command.replace(f":{PORT}/", f":{served}/")
    said = run(["bash", "-euo", "pipefail", "-c", printed], surroundings(served))
    for output in re.findall(r"--output (\S+)", command):
        assert (ROOT / output).stat().st_size > 0
    assert said.strip() or "--output" in command


@pytest.mark.parametrize("program", blocks("python"))
def test_the_printed_program_works(served: int, program: str) -> None:
    printed = program.replace(f":{PORT}/", f":{served}/")
    assert run([sys.executable, "-c", printed], surroundings(served)).strip()


def test_every_file_that_the_readme_links_to_is_there() -> None:
    links = re.findall(r"\]\(([^)#:]+)\)", README)
    assert links
    assert [link for link in links if not (ROOT / link).exists()] == []


def test_the_readme_states_the_limits() -> None:
    table = README.split("\n## Limits\n")[1].split("\n## ")[0]
    cells = [row.split("|")[2] for row in table.splitlines() if row.startswith("|")]
    stated = [figure.replace(" ", "") for figure in re.findall(r"\d{1,3}(?: \d{3})*", str(cells))]
    figures = [figure for figure, _ in LIMITS.values()]
    figures += [MOST_SURFACES, MOST_PRODUCTS, MOST_CHARACTERS]
    assert [figure for figure in figures if str(figure) not in stated] == []
