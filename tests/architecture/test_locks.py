"""What is installed is what was reviewed: every package pinned, with digests, from one index."""

from __future__ import annotations

import re
from importlib.metadata import distributions
from pathlib import Path

import pytest

DOCKER = Path(__file__).parents[2] / "docker"
LOCKS = sorted(DOCKER.glob("*.lock"))
PIN = re.compile(r"([a-z0-9][a-z0-9._-]*)==([0-9][A-Za-z0-9.+!]*)((?: ;.*?)?) \\")


def pinned(lock: Path) -> dict[str, str]:
    """Each package of a lock with its version."""
    rows = [PIN.match(line) for line in lock.read_text().splitlines()]
    return {row[1]: row[2] for row in rows if row}


@pytest.mark.parametrize("lock", LOCKS, ids=[lock.name for lock in LOCKS])
def test_every_line_of_a_lock_is_a_pin_with_digests(lock: Path) -> None:
    lines = [line for line in lock.read_text().splitlines() if not line.startswith("#")]
    digest = re.compile(r"    --hash=sha256:[0-9a-f]{64}( \\)?")
    for before, line in zip(["", *lines], lines, strict=False):
        assert digest.fullmatch(line) or PIN.fullmatch(line), line
        if PIN.fullmatch(before):
            assert digest.fullmatch(line), f"{before} has no digest"


def test_no_lock_names_another_place_to_fetch_from() -> None:
    for lock in LOCKS:
        assert not re.search(r"://|--index|--find-links|git\+|@ ", lock.read_text()), lock.name


def test_the_locks_agree_with_one_another() -> None:
    whole = pinned(DOCKER / "requirements-dev.lock")
    for lock in LOCKS:
        for name, version in pinned(lock).items():
            assert whole.get(name, version) == version, f"{name} in {lock.name}"


def test_what_the_tests_run_with_is_what_is_locked() -> None:
    locked = pinned(DOCKER / "requirements-dev.lock")
    here = {one.metadata["Name"].lower().replace("_", "-"): one.version for one in distributions()}
    differ = {name: here[name] for name in locked if here.get(name, locked[name]) != locked[name]}
    assert not differ
