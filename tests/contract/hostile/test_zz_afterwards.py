"""After all the attacks: what the server holds in memory, and what it wrote into its log."""

from __future__ import annotations

import json
import re

import pytest

from tests.contract.hostile.attacks import MARK
from tests.contract.hostile.firing import Range
from tests.end_to_end.running import Server

pytestmark = pytest.mark.xdist_group("hostile")
"""With the attacks, in one process: they have one server, and this comes last."""

MOST_GROWTH = 150_000_000
"""Bytes that the resident memory of all processes may have grown by."""


def test_memory_has_not_grown(server: Server, shooting: Range) -> None:
    assert server.memory() - shooting.memory_at_start < MOST_GROWTH


def test_the_log_is_json_without_what_was_sent(server: Server) -> None:
    lines = server.log().splitlines()
    assert lines
    for line in lines:
        assert isinstance(json.loads(line), dict), line
        assert MARK not in line
        assert not re.search(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]", line), line


def test_no_process_was_lost(server: Server) -> None:
    """No hostile request ended a process: what is late or too large is told, never fatal."""
    assert server.process.poll() is None
    assert server.client.get("/health/ready").status_code == 200
