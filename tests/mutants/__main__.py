"""`make mutants`: makes small mistakes in the core, one at a time, and lists what no test noticed.

A seeded selection of the mistakes is made, for all of them would take days; another SEED makes
another. A survivor is not always a missing test: some mistakes change nothing that can be seen.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import time

import pytest

from tests.mutants.changing import changes
from tests.mutants.noticing import ROOT, Mistake, Trial

ROOMS = ("units", "ledger", "order", "fastening", "joints", "cutting", "layout")
TESTS = ("tests/unit", "tests/reference", "tests/property", "tests/independent")
REPORT = ROOT / ".build/mutants.json"


def mistakes(room: str, most: int, seed: int) -> list[Mistake]:
    """At most `most` of the mistakes that can be made in `room`, always the same for a seed."""
    every = [
        Mistake(room, file.relative_to(ROOT), change)
        for file in sorted((ROOT / "service" / room).rglob("*.py"))
        for change in changes(file.read_text())
    ]
    return every if len(every) <= most else random.Random(seed).sample(every, most)


def main() -> int:
    """Run; writes .build/mutants.json."""
    parser = argparse.ArgumentParser(prog="make mutants")
    parser.add_argument("--room", choices=ROOMS, help="one room only")
    parser.add_argument("--most", type=int, default=30, help="mistakes in each room")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=60, help="of tests against a mistake")
    parser.add_argument("--minutes", type=float, default=60, help="then no further one is made")
    parser.add_argument("--only", default="", help="the mistakes with this in their line only")
    asked = parser.parse_args()
    rooms = [asked.room] if asked.room else ROOMS
    chosen = [one for room in rooms for one in mistakes(room, asked.most, asked.seed)]
    trial = Trial(
        [one for one in chosen if asked.only in str(one)],
        asked.seconds,
        time.monotonic() + asked.minutes * 60,
    )
    arguments = ["-q", "-s", "--hypothesis-profile", "unshrunk"]
    ended = pytest.main([*arguments, *TESTS], plugins=[trial])
    found = {
        room: {
            "made": trial.made[room],
            "survivors": [str(one) for one in trial.survivors if one.room == room],
        }
        for room in trial.made
    }
    for room, told in found.items():
        print(f"{room}: {told['made'] - len(told['survivors'])} of {told['made']} noticed")
    REPORT.write_text(json.dumps(found, indent=1) + "\n")
    return int(ended)


if __name__ == "__main__":
    sys.exit(main())
