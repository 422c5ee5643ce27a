"""What callers share: one running service."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.end_to_end.running import ROOT, Server

SLOWEST = (
    "test_image", "test_in_an_office", "test_in_a_browser", "test_bulk_kills", "test_typed_clients",
    "test_bulk_on_a_cluster",
)  # fmt: skip
"""What takes longest is begun first; the rest fills up beside it."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests of a file go to one process, which makes what they share once."""
    for item in items:
        if not list(item.iter_markers("xdist_group")):
            item.add_marker(pytest.mark.xdist_group(item.path.stem))
    items.sort(key=_place)


def _place(item: pytest.Item) -> int:
    group = next(item.iter_markers("xdist_group")).args[0]
    return SLOWEST.index(group) if group in SLOWEST else len(SLOWEST)


@pytest.fixture(scope="session")
def live() -> Iterator[Server]:
    """A service as `make serve` starts it, on a port of its own."""
    server = Server()
    try:
        yield server.until_ready()
    finally:
        server.kill()


@pytest.fixture(scope="session")
def screenshots() -> Path:
    """Where pictures of the callers are put: those of the README where `SCREENSHOTS` says so."""
    folder = Path(os.environ.get("SCREENSHOTS") or ROOT / ".build" / "screenshots").resolve()
    folder.mkdir(parents=True, exist_ok=True)
    return folder
