"""Pages of the service in a real Chromium: the scripts `tools/*.test.mjs`, with a live service."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

from service.api.keys import made
from tests.callers.programs import program, scripts
from tests.end_to_end.running import Server


def beside(name: str, *arguments: object, options: tuple[str, ...] = (), **settings: str) -> str:
    """What a script of `tools/` writes, run by Node beside the packages and the other scripts."""
    environment = {**os.environ, "CHROMIUM": program("chromium"), **settings}
    done = subprocess.run(
        [program("node"), *options, scripts() / name, *map(str, arguments)], env=environment,
        text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=300, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-6_000:]
    return done.stdout


def tried(name: str, url: object, **settings: str) -> None:
    """Run the tests of a script."""
    told = beside(name, options=("--test",), TAKEOFF_URL=str(url), **settings)
    assert "\n# skipped 0\n" in told
    assert "\n# pass 0\n" not in told


def test_the_quote_page(live: Server, screenshots: Path) -> None:
    tried("quote.test.mjs", live.client.base_url, SCREENSHOTS=str(screenshots))
    assert (screenshots / "website.png").stat().st_size < 150_000


def test_the_quote_page_of_a_service_with_keys() -> None:
    key, digest = made()
    server = Server(TAKEOFF_KEYS=f"yard:{digest}")
    try:
        tried("keyed.test.mjs", server.until_ready().client.base_url, KEY=key)
    finally:
        server.kill()


def test_the_page_of_the_interface(live: Server) -> None:
    tried("docs.test.mjs", live.client.base_url)
