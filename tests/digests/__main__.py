"""`python -m tests.digests` writes the digests anew; with --check it says what differs.

Answers that differ are left in .build/digests, in a folder for each version of Python, to be laid
side by side.
"""

from __future__ import annotations

import hashlib
import platform
import sys
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from pathlib import Path
from typing import Final

from service.compute import Outcome, Picked
from tests.digests.jobs import ROOT, asked
from tests.strategies.asking import in_forms

WRITTEN: Final = Path(__file__).with_name("digests.txt")
DIFFERING: Final = ROOT / ".build" / "digests" / platform.python_version()


def answers_to(one: tuple[bytes, list[str]]) -> list[Outcome]:
    """A job in each of the forms that are asked for, taken off once."""
    body, forms = one
    return in_forms(body, map(Picked, forms))


@cache
def digests() -> tuple[dict[str, str], dict[str, bytes]]:
    """Digest and bytes of each answer, computed on all processors, once."""
    forms: dict[tuple[str, bytes], list[str]] = {}
    for name, media, body in asked():
        forms.setdefault((name, body), []).append(media)
    with ProcessPoolExecutor() as processes:
        made = processes.map(answers_to, [(body, each) for (_, body), each in forms.items()])
    found = {
        (name, media): outcome
        for ((name, _), each), outcomes in zip(forms.items(), made, strict=True)
        for media, outcome in zip(each, outcomes, strict=True)
    }
    answers = {f"{name} {media}": found[name, media] for name, media, _ in asked()}
    return (
        {name: f"{one.kind} {_digest(one.body)}" for name, one in answers.items()},
        {name: one.body for name, one in answers.items()},
    )


def _digest(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()[:20]


def read() -> dict[str, str]:
    """The digests as they are committed."""
    rows = [line.rsplit(" ", 2) for line in WRITTEN.read_text(encoding="utf-8").splitlines()]
    return {asked: f"{kind} {digest}" for asked, kind, digest in rows}


def check() -> int:
    """Compare; the number of answers that differ, at most 1 as the status of a process."""
    found, answers = digests()
    written = read()
    differing = sorted(key for key in {*found, *written} if found.get(key) != written.get(key))
    for key in differing:
        print(f"{key}: {written.get(key, 'not written')}, here {found.get(key, 'not asked')}")
        if key in answers:
            DIFFERING.mkdir(parents=True, exist_ok=True)
            (DIFFERING / key.replace("/", "-").replace(" ", ".")).write_bytes(answers[key])
    print(f"Python {platform.python_version()}: {len(found)} answers, {len(differing)} differ")
    if differing:
        print(f"They are in {DIFFERING}. Where answers were meant to change: make digests")
    return min(1, len(differing))


def write() -> int:
    """Write the digests anew."""
    found, _ = digests()
    lines = [f"{asked} {digest}\n" for asked, digest in found.items()]
    WRITTEN.write_text("".join(lines), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(check() if sys.argv[1:] == ["--check"] else write())
