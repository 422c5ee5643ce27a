"""What was asked as bytes, an answer as bytes: all that a compute process runs. No web here."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from service.answering.operation import CSV, DXF, JSON, PDF, SVG, TEXT, XLSX, Picked
from service.answering.refusals import written
from service.answering.registry import OPERATIONS
from service.errors import Refusal
from service.request.limits import MOST_LIGHT
from service.request.strict_json import canonical, loads

__all__ = ["CSV", "DXF", "JSON", "PDF", "SVG", "TEXT", "XLSX", "Outcome", "Picked", "answer"]


@dataclass(frozen=True, slots=True)
class Outcome:
    """`kind` is `answer`, `heavy`, or the name of the refusal's class in `service.errors`.

    `body` is the rendered answer, or a refusal as JSON: {"count": n, "faults": [{"code",
    "detail", "pointer", "cure", "rule", "measure", "limit"}, ...]}. Of an answer, `digest` is of
    what was asked in its canonical form, and `gap` by how much its dearest plan may cost too much,
    in %.
    """

    kind: str
    media: str
    body: bytes
    digest: str = ""
    gap: float | None = None


def answer(body: bytes, picked: Picked = Picked()) -> Outcome:  # noqa: B008 - frozen
    """Read what is asked, work it out, render what was picked; a refusal is an outcome too."""
    operation, asked = OPERATIONS[picked.operation], None
    try:
        asked = loads(body)
        read = operation.read(asked)
        if picked.only_light and operation.cost(read) > MOST_LIGHT:
            return Outcome("heavy", JSON, b"")
        made = operation.answer(read, picked)
    except Refusal as refusal:
        told = written(refusal, operation.unit(asked), asked)
        return Outcome(type(refusal).__name__, JSON, told)
    digest = hashlib.sha256(canonical(asked)).hexdigest()
    return Outcome("answer", picked.media, made.body, digest, made.gap)
