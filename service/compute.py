"""A job as bytes, an answer as bytes: all that a compute process runs. No web framework here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import orjson

from service.errors import Fault, Refusal
from service.report.csv_order import order_csv
from service.report.flat import Scale, cure_row, flat, scale_of
from service.report.sheets import sheets
from service.report.svg import draw
from service.request.reading import read
from service.takeoff.pipeline import Takeoff, take_off

JSON: Final = "application/json"
SVG: Final = "image/svg+xml"
CSV: Final = "text/csv"


@dataclass(frozen=True, slots=True)
class Picked:
    """What of the answer is wanted: its media type, and for a drawing one surface or layer."""

    media: str = JSON
    surface: str | None = None
    layer: str | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """`kind` is `answer` or the name of the refusal's class in `service.errors`.

    `body` is the rendered answer, or a refusal as JSON: {"count": n, "faults": [{"code",
    "detail", "pointer", "cure", "rule", "measure", "limit"}, ...]}.
    """

    kind: str
    media: str
    body: bytes


def answer(body: bytes, picked: Picked = Picked()) -> Outcome:
    """Read a job, take it off, render what was picked; a refusal is an outcome, not an error."""
    scale = scale_of("in")
    try:
        job = read(body)
        scale = scale_of(job.unit)
        return Outcome("answer", picked.media, _rendered(take_off(job), picked))
    except Refusal as refusal:
        return Outcome(type(refusal).__name__, JSON, _refused(refusal, scale))


def _rendered(takeoff: Takeoff, picked: Picked) -> bytes:
    if picked.media == SVG:
        return draw(sheets(takeoff), picked.surface, picked.layer)
    made = flat(takeoff)
    return order_csv(made) if picked.media == CSV else orjson.dumps(made)


def _refused(refusal: Refusal, scale: Scale) -> bytes:
    faults = [_fault(fault, scale) for fault in refusal.faults]
    return orjson.dumps({"count": refusal.count, "faults": faults})


def _fault(fault: Fault, scale: Scale) -> dict[str, Any]:
    """A fault with what it has; members without a value are left out."""
    written = {
        "code": fault.code,
        "detail": fault.detail,
        "pointer": fault.pointer,
        "rule": fault.rule,
        "measure": scale.maybe(fault.measure),
        "limit": scale.maybe(fault.limit),
        "cure": cure_row(scale, fault.cure),
    }
    return {key: value for key, value in written.items() if value is not None}
