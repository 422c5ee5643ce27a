"""What callers share: one running service."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.end_to_end.running import Server


@pytest.fixture(scope="session")
def live() -> Iterator[Server]:
    """A service as `make serve` starts it, on a port of its own."""
    server = Server()
    try:
        yield server.until_ready()
    finally:
        server.kill()
