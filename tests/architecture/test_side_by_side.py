"""Tests that run side by side: none is lost, and what holds for one alone holds for them."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests import side_by_side

ROOT = Path(__file__).parents[2]

SOUND = """
import time
import warnings
import pytest

PLAIN = []

@pytest.mark.parametrize("number", range(20))
def test_plain(number):
    PLAIN.append(number)
    assert PLAIN == list(range(number + 1))

@pytest.mark.skip(reason="counted too")
def test_skipped(): pass
"""
FAULTY = """
def test_that_warns(): warnings.warn("of old", DeprecationWarning)

def test_that_hangs(): time.sleep(3)
"""
GROUPED = """
HERE = []

@pytest.mark.xdist_group("together")
@pytest.mark.parametrize("number", range(8))
def test_in_one_process(number):
    HERE.append(number)
    assert HERE == list(range(number + 1))
"""
LOSING = """
def pytest_runtest_protocol(item, nextitem): return True if item.name == "test_plain[19]" else None
"""
"""A worker that passes over a test without a word."""


@pytest.fixture
def suite(tmp_path: Path) -> Path:
    """A small suite with the settings and the roll of the true one."""
    (tmp_path / "tests" / "strategies").mkdir(parents=True)
    for name in ("conftest.py", "side_by_side.py", "strategies/budget.py"):
        shutil.copy(ROOT / "tests" / name, tmp_path / "tests" / name)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def ran(suite: Path, tests: str, *options: str) -> tuple[int, str]:
    """How the suite ends on two workers, and what it prints."""
    (suite / "tests" / "test_made_up.py").write_text(tests)
    usual = ["-q", "-n", "2", "--dist", "loadgroup"]
    run = [sys.executable, "-m", "pytest", *usual, *options]
    done = subprocess.run(run, cwd=suite, capture_output=True, text=True, timeout=240, check=False)
    return done.returncode, done.stdout + done.stderr


def test_all_that_is_collected_has_run_and_warnings_and_hangs_are_told(suite: Path) -> None:
    """The tests of a file in one process, one after the other."""
    status, told = ran(suite, SOUND + FAULTY, "-o", "faulthandler_timeout=1")
    assert "23 tests collected, 23 run" in told
    assert "1 failed, 21 passed, 1 skipped" in told
    assert "DeprecationWarning: of old" in told
    assert "Timeout" in told
    assert "in test_that_hangs" in told
    assert status == 1


def test_a_test_that_is_lost_fails_the_run_and_those_of_a_group_run_together(suite: Path) -> None:
    (suite / "tests" / "losing.py").write_text(LOSING)
    status, told = ran(suite, SOUND + GROUPED, "-p", "tests.losing")
    assert "29 tests collected, 28 run" in told
    assert "failed" not in told
    assert status != 0


def test_what_is_begun_first_is_there() -> None:
    """Files by their folder and name, and groups that some file says it is of."""
    texts = [file.read_text(encoding="utf-8") for file in (ROOT / "tests").rglob("test_*.py")]
    for name in side_by_side.SLOWEST:
        is_group = any(f'xdist_group("{name}")' in text for text in texts)
        assert is_group or list((ROOT / "tests").rglob(name)), name
