"""What callers share: one running service."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.callers.images import put_away
from tests.end_to_end.running import ROOT, Server


@pytest.fixture(scope="session")
def live() -> Iterator[Server]:
    """A service as `make serve` starts it, on a port of its own."""
    server = Server()
    try:
        yield server.until_ready()
    finally:
        server.kill()


@pytest.fixture(scope="session", autouse=True)
def _put_away() -> Iterator[None]:
    yield
    put_away()


@pytest.fixture(scope="session")
def screenshots() -> Path:
    """Where pictures of the callers are put: those of the README where `SCREENSHOTS` says so."""
    folder = Path(os.environ.get("SCREENSHOTS") or ROOT / ".build" / "screenshots").resolve()
    folder.mkdir(parents=True, exist_ok=True)
    return folder
