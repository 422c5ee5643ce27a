"""What the compute processes run where the shell itself is under test; and a small catalogue.

The body says what to do: {"act": "answer" | "sleep" | "spin" | "die" | "escape" | ...}.
"""

from __future__ import annotations

import hashlib
import json
import os
import time
from collections.abc import Mapping, Sequence
from typing import Any

from service.api.compute_process import WARM_UP
from service.compute import Outcome, Picked
from service.errors import LawBroken

SECRET = "a caller's own words"


def act(body: bytes, picked: Picked = Picked()) -> Outcome:  # noqa: B008 - frozen
    """Do what the body says."""
    try:
        asked = json.loads(body)
    except ValueError:
        asked = {}
    return _ACTS[asked.get("act", "answer")](asked, picked)


def slow(body: bytes, picked: Picked = Picked()) -> Outcome:  # noqa: B008 - frozen
    """The same, but slow to warm up."""
    if body == WARM_UP:
        time.sleep(0.4)
    return act(body, picked)


def _answer(asked: dict[str, Any], picked: Picked) -> Outcome:
    said = {
        "pid": os.getpid(),
        "picked": [picked.media, picked.surface, picked.layer],
        "table": picked.table,
        "columns": picked.columns,
        "parts": picked.parts,
    }
    job = json.dumps(asked, sort_keys=True).encode()
    digest = hashlib.sha256(job).hexdigest()
    return Outcome("answer", picked.media, json.dumps(said).encode(), digest, 0.5)


def _heavy(asked: dict[str, Any], picked: Picked) -> Outcome:
    """Handed back by a process that is kept for light jobs."""
    if picked.only_light:
        return Outcome("heavy", picked.media, b"")
    time.sleep(asked.get("seconds", 0))
    return _answer(asked, picked)


def _sleep(asked: dict[str, Any], picked: Picked) -> Outcome:
    time.sleep(asked["seconds"])
    return _answer(asked, picked)


def _spin(asked: dict[str, Any], picked: Picked) -> Outcome:
    while True:
        pass


def _die(asked: dict[str, Any], picked: Picked) -> Outcome:
    os._exit(9)


def _escape(asked: dict[str, Any], picked: Picked) -> Outcome:
    raise ZeroDivisionError(SECRET)


def _memory(asked: dict[str, Any], picked: Picked) -> Outcome:
    return Outcome("answer", "text/plain", bytes(1 << 40))


def _law(asked: dict[str, Any], picked: Picked) -> Outcome:
    raise LawBroken("the ledger does not close")


def _refuse(asked: dict[str, Any], picked: Picked) -> Outcome:
    fault = {
        "code": "course-small", "detail": asked.get("detail", "A course is too small."),
        "pointer": "/surfaces/0/layers/0/start", "rule": "3.3", "measure": 1.5, "limit": 2.5,
        "cure": [{"op": "add", "path": "/surfaces/0/layers/0/start", "value": "balanced"}],
    }  # fmt: skip
    faults = [fault] * asked.get("faults", 1)
    written = {"count": asked.get("count", len(faults)), "faults": faults}
    return Outcome(asked["kind"], "application/json", json.dumps(written).encode())


_ACTS = {
    "answer": _answer,
    "heavy": _heavy,
    "sleep": _sleep,
    "spin": _spin,
    "die": _die,
    "escape": _escape,
    "memory": _memory,
    "law": _law,
    "refuse": _refuse,
}


class Catalogue:
    """One kind, one table and one rule."""

    def names(self) -> list[str]:
        """The one kind."""
        return ["boarding"]

    def describe(self, name: str) -> dict[str, Any]:
        """The one kind."""
        return {"boarding": {"kind": "boarding", "title": "Boards", "forms": [], "rules": []}}[name]

    def tables(self) -> list[dict[str, Any]]:
        """The one table."""
        return [{"id": "boarding.defaults", "title": "Defaults", "document": "practice"}]

    def rules(self) -> list[dict[str, str]]:
        """The one rule."""
        return [{"number": "6.5", "name": "Stagger"}]

    def rule(self, number: str) -> dict[str, Any]:
        """The one rule."""
        return {"6.5": {"number": "6.5", "name": "Stagger", "defaults": []}}[number]

    def codes(self) -> list[dict[str, str]]:
        """The one code."""
        return [{"code": "missing", "sort": "fault", "says": "A key is needed."}]

    def words(self) -> Mapping[str, Sequence[str]]:
        """Of no member."""
        return {}

    def rules_digest(self) -> str:
        """Any digest."""
        return "sha256:0"

    def table(self, name: str) -> dict[str, Any]:
        """The one table."""
        return {"boarding.defaults": {"id": "boarding.defaults", "rows": []}}[name]
