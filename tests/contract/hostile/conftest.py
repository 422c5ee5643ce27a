"""One server for all attacks, as the command starts it; its log and its memory are looked at."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.contract.hostile.firing import Range
from tests.end_to_end.running import Server


@pytest.fixture(scope="package")
def server() -> Iterator[Server]:
    """The service with two server processes."""
    one = Server("--workers", "2", "--compute", "2")
    try:
        yield one.until_ready()
    finally:
        one.kill()


@pytest.fixture(scope="package")
def shooting(server: Server) -> Range:
    """Where the cases are sent."""
    return Range(server)
