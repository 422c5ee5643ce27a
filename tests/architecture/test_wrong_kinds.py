"""A kind that is right goes through the laws of all kinds unasked; its wrong twins fail by name."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
RIGHT = Path(__file__).parent / "kinds_for_tests" / "battens"
PARTS, LAWS, CASES, FIELDS = FILES = (
    "tests/architecture/test_kinds.py",
    "tests/property/test_every_kind.py",
    "tests/reference/test_kinds.py",
    "tests/contract/test_examples.py",
)
"""The tests that ask the registry for every kind."""

WRONG: dict[str, tuple[str, str, str, str, str]] = {
    "a refused example": (
        LAWS,
        "examples/wall.json",
        '"product": "lath"',
        '"product": "plank"',
        "test_an_example_goes_through_and_adds_up[battens/examples/wall.json]",
    ),
    "a field that no example fills": (
        FIELDS,
        "examples/wall.json",
        '"offcut_value": 0,',
        "",
        "{'BattenRules': ['offcut_value']}",
    ),
    "a false count": (
        CASES,
        "reference/counts.toml",
        "is = 48",
        "is = 50",
        "[battens/reference/counts.toml: four rows in two pieces each",
    ),
    "a missing default": (
        PARTS,
        "tables/defaults.toml",
        "[batten_spacing]",
        "[lath_spacing]",
        "the rule batten_spacing of {folder} has no default in {folder}/tables/defaults.toml",
    ),
    "a key with another meaning": (
        PARTS,
        "__init__.py",
        "batten_spacing: Spacing | None = None",
        "batten_spacing: Spacing | None = None\n    stagger: str | None = None",
        "the rule stagger is of two types: in {folder} and in ",
    ),
    "an area that is not there": (
        LAWS,
        "__init__.py",
        "Areas(covered, covered)",
        "Areas(covered * 2, covered)",
        "test_an_example_goes_through_and_adds_up[battens/examples/wall.json]",
    ),
    "a place that is not from the one origin": (
        LAWS,
        "__init__.py",
        "range(near, far",
        "range(near + task.surface.outline[0][0] % 7 * wide, far",
        "test_where_a_surface_is_drawn_from_changes_nothing[battens/examples/wall.json]",
    ),
}
"""Which tests tell; the file, what is changed in it, to what; and the words in which they tell."""


def tried(folder: Path, *files: str) -> subprocess.CompletedProcess[str]:
    """Tests of all kinds, with those of a folder beside the service's own."""
    left_out = ("PYTEST", "COV_")
    here = {key: value for key, value in os.environ.items() if not key.startswith(left_out)}
    return subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-qx",
            *files,
            "-k",
            "(battens or beams or cleats or full_fills) and not box_beams",
        ],
        cwd=ROOT,
        env=here | {"TAKEOFF_KINDS_PATH": str(folder), "COLUMNS": "400"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def test_the_right_kind_goes_through() -> None:
    found = tried(RIGHT.parent, *FILES)
    assert found.returncode == 0, found.stdout
    assert "41 passed" in found.stdout


@pytest.mark.parametrize("what", WRONG)
def test_a_wrong_twin_fails_by_name(what: str, tmp_path: Path) -> None:
    tests, file, right, wrong, told = WRONG[what]
    folder = tmp_path / "battens"
    shutil.copytree(RIGHT, folder, ignore=shutil.ignore_patterns("__pycache__"))
    text = (folder / file).read_text(encoding="utf-8")
    assert right in text
    (folder / file).write_text(text.replace(right, wrong), encoding="utf-8")
    found = tried(tmp_path, tests)
    assert found.returncode in (1, 2), found.stdout
    assert told.replace("{folder}", str(folder)) in found.stdout, found.stdout
