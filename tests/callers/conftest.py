"""What callers share: one running service."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.callers.images import put_away
from tests.end_to_end.running import ROOT, Server

SLOWEST = (
    "test_image", "test_in_an_office", "test_in_a_browser", "test_bulk_kills", "test_typed_clients",
    "test_bulk_on_a_cluster",
)  # fmt: skip
"""What takes longest is begun first; the rest fills up beside it."""


def pytest_itemcollected(item: pytest.Item) -> None:
    """Tests of a file go to one process, which makes what they share once."""
    if _group(item) is None:
        item.add_marker(pytest.mark.xdist_group(item.path.stem))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """In that order."""
    items.sort(key=_place)


def _group(item: pytest.Item) -> str | None:
    mark = item.get_closest_marker("xdist_group")
    return None if mark is None else str(mark.args[0])


def _place(item: pytest.Item) -> int:
    group = _group(item)
    return SLOWEST.index(group) if group in SLOWEST else len(SLOWEST)


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
