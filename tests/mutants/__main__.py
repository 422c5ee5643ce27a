"""`make mutants`: makes small mistakes in the core, one at a time, and lists what no test noticed.

The tree is copied and changed in the copy. A seeded selection of the mistakes is made, for all of
them would take days; another SEED makes another. A survivor is not always a missing test: some
mistakes change nothing that can be seen.
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import subprocess
import sys
import time
from pathlib import Path

from tests.mutants.changing import Change, changes

ROOT = Path(__file__).parents[2]
COPY = ROOT / ".build/mutants"
REPORT = ROOT / ".build/mutants.json"

_ALL = ("tests/reference/test_scenarios.py", "tests/property/test_ledger.py",
        "tests/property/test_refusals.py")  # fmt: skip
TESTS: dict[str, tuple[str, ...]] = {
    "units": ("tests/unit/test_units.py", "tests/unit/test_written.py",
              "tests/property/test_quantities.py"),
    "layout": ("tests/property/test_courses.py", "tests/property/test_course_layouts.py",
               "tests/property/test_rips.py", "tests/reference/test_panel_layout.py"),
    "joints": ("tests/property/test_joints.py", "tests/property/test_hard_cases.py",
               "tests/reference/test_navedtra_stagger.py"),
    "cutting": ("tests/unit/test_cutting_traps.py", "tests/property/test_cutting_laws.py",
                "tests/property/test_cut_plans.py", "tests/property/test_sheet_nesting.py"),
    "fastening": ("tests/unit/test_fastening.py", "tests/property/test_fasteners.py",
                  "tests/reference/test_navedtra_nails.py",
                  "tests/reference/test_panel_nailing.py"),
    "order": ("tests/unit/test_order.py", "tests/property/test_order.py"),
    "ledger": ("tests/property/test_ledger.py", "tests/unit/test_laws.py"),
}  # fmt: skip
"""Room -> the tests that are about it; those of `_ALL` come after them."""

_SECONDS = 240


def mistakes(room: str, most: int, seed: int) -> list[tuple[Path, Change]]:
    """At most `most` of the mistakes that can be made in `room`, always the same for a seed."""
    every = [
        (file.relative_to(ROOT), change)
        for file in sorted((ROOT / "service" / room).glob("*.py"))
        for change in changes(file.read_text())
    ]
    return every if len(every) <= most else random.Random(seed).sample(every, most)


def copied() -> None:
    """A fresh copy of what the tests need."""
    shutil.rmtree(COPY, ignore_errors=True)
    for name in ("service", "tests", "openapi"):
        shutil.copytree(ROOT / name, COPY / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "DEVELOPERS.md", "Makefile"):
        shutil.copy(ROOT / name, COPY / name)
    (COPY / ".build").mkdir()


def is_noticed(room: str, file: Path, change: Change | None) -> bool:
    """Whether a test fails with this change in the copy; a test that never ends has noticed it."""
    place = COPY / file
    before = place.read_text()
    if change is not None:
        place.write_text(change.source)
    try:
        ended = subprocess.run(
            [sys.executable, "-B", "-m", "pytest", "-q", "-x",
             *(test for test in (*TESTS[room], *_ALL) if (COPY / test).is_file())],
            cwd=COPY, capture_output=True, timeout=_SECONDS, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return True
    finally:
        place.write_text(before)
    return ended.returncode != 0


def tried(room: str, most: int, seed: int, until: float) -> dict[str, object]:
    """The mistakes of one room: how many were made, and those that no test noticed."""
    chosen = mistakes(room, most, seed)
    if is_noticed(room, chosen[0][0], None):
        raise SystemExit(f"the tests of {room} fail without any mistake")
    made, survivors = 0, []
    for file, change in chosen:
        if time.monotonic() > until:
            break
        made += 1
        if not is_noticed(room, file, change):
            survivors.append(f"{file}:{change.line}: {change.what}")
            print(f"  not noticed: {survivors[-1]}", flush=True)
    print(f"{room}: {made - len(survivors)} of {made} noticed", flush=True)
    return {"made": made, "survivors": survivors}


def main() -> int:
    """Run; writes .build/mutants.json."""
    parser = argparse.ArgumentParser(prog="make mutants")
    parser.add_argument("--room", choices=sorted(TESTS), help="one room only")
    parser.add_argument("--most", type=int, default=30, help="mistakes in each room")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=60, help="then no further one is made")
    asked = parser.parse_args()
    until = time.monotonic() + asked.minutes * 60
    copied()
    rooms = [asked.room] if asked.room else list(TESTS)
    found = {room: tried(room, asked.most, asked.seed, until) for room in rooms}
    REPORT.write_text(json.dumps(found, indent=1) + "\n")
    shutil.rmtree(COPY)
    return 0


if __name__ == "__main__":
    sys.exit(main())
