"""Every decision says why, what and what follows, and names tests that exist and enforce it."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DECISIONS = sorted((ROOT / "service" / "decisions").glob("*.md"))


def name_of(path: Path) -> str:
    return path.stem


def test_decisions_are_numbered_without_a_gap() -> None:
    numbers = [int(path.name[:4]) for path in DECISIONS]
    assert numbers == list(range(1, len(DECISIONS) + 1))
    assert numbers


@pytest.mark.parametrize("decision", DECISIONS, ids=name_of)
def test_a_decision_has_its_parts(decision: Path) -> None:
    text = decision.read_text(encoding="utf-8")
    assert text.startswith(f"# {decision.name[:4]} ")
    for part in ("**Context.**", "**Decision.**", "**Consequence.**", "\nEnforced by: "):
        assert part in text


@pytest.mark.parametrize("decision", DECISIONS, ids=name_of)
def test_a_decision_names_tests_that_exist(decision: Path) -> None:
    line = decision.read_text(encoding="utf-8").split("\nEnforced by: ")[1]
    tests = re.findall(r"`([^`]+)`", line)
    assert tests
    assert [test for test in tests if not (ROOT / test).is_file()] == []


def test_the_contributors_guide_lists_every_decision() -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert [path.name for path in DECISIONS if path.name not in guide] == []
