"""A job as bytes, an answer as bytes: all that a compute process runs. No web framework here."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, replace
from typing import Any, Final

import orjson

from service.cures import with_tried_cures, with_tried_findings
from service.errors import Fault, Refusal, TradeRefused
from service.products.nouns import support_asked
from service.products.registry import nouns
from service.report.drawing.svg import draw
from service.report.patches import cure_rows
from service.report.printout.columns import USUAL
from service.report.printout.written import printout
from service.report.scale import scale_of
from service.report.sheets import sheets
from service.report.tables.csv_table import as_csv
from service.report.tables.flat import flat
from service.request.cost import is_light
from service.request.reading import job_of, unit_of
from service.request.strict_json import canonical, loads
from service.takeoff.pipeline import Takeoff, take_off
from service.units.writing import in_system

JSON: Final = "application/json"
SVG: Final = "image/svg+xml"
CSV: Final = "text/csv"
TEXT: Final = "text/plain"


@dataclass(frozen=True, slots=True)
class Picked:
    """What of the answer is wanted: its media type.

    For a drawing it may be one surface or layer, for CSV one table; without it, it is the order.
    Text is set on so many `columns`, the usual number where none is named.

    With `only_light`, a heavy job is handed back untouched: an outcome of the kind `heavy`.
    """

    media: str = JSON
    surface: str | None = None
    layer: str | None = None
    table: str | None = None
    columns: int | None = None
    only_light: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """`kind` is `answer`, `heavy`, or the name of the refusal's class in `service.errors`.

    `body` is the rendered answer, or a refusal as JSON: {"count": n, "faults": [{"code",
    "detail", "pointer", "cure", "rule", "measure", "limit"}, ...]}. Of an answer, `digest` is of
    the job in its canonical form, and `gap` by how much its dearest plan may cost too much, in %.
    """

    kind: str
    media: str
    body: bytes
    digest: str = ""
    gap: float | None = None


def answer(body: bytes, picked: Picked = Picked()) -> Outcome:
    """Read a job, take it off, render what was picked; a refusal is an outcome, not an error."""
    asked: object = None
    try:
        asked = loads(body)
        job = job_of(asked)
        if picked.only_light and not is_light(job):
            return Outcome("heavy", JSON, b"")
        takeoff = take_off(job, draw=picked.media == SVG)
        digest = hashlib.sha256(canonical(asked)).hexdigest()
        return Outcome("answer", picked.media, _rendered(takeoff, picked), digest, _gap(takeoff))
    except TradeRefused as refusal:
        tried = with_tried_cures(refusal, asked)
        return Outcome(TradeRefused.__name__, JSON, _refused(tried, asked))
    except Refusal as refusal:
        return Outcome(type(refusal).__name__, JSON, _refused(refusal, asked))


def _gap(takeoff: Takeoff) -> float | None:
    """By how much the dearest of the plans may cost too much, in percent; None without a plan."""
    gaps = [plan.gap_pct for supplied in takeoff.supplied for plan in supplied.plans]
    return max((gap for gap in gaps if gap is not None), default=None)


def _rendered(takeoff: Takeoff, picked: Picked) -> bytes:
    if picked.media == SVG:
        return draw(sheets(takeoff), picked.surface, picked.layer)
    if picked.media == CSV and picked.table != "findings":
        return as_csv(takeoff, picked.table)
    tried = with_tried_findings(takeoff)
    if picked.media == CSV:
        return as_csv(tried, picked.table)
    answer = orjson.dumps(flat(tried))
    return answer if picked.media == JSON else _on_paper(answer, picked.columns or USUAL)


def _on_paper(answer: bytes, columns: int) -> bytes:
    """The very answer that a client would read as JSON, as text."""
    return printout(orjson.loads(answer), nouns(), columns).encode()


def _refused(refusal: Refusal, asked: object) -> bytes:
    unit = unit_of(asked)
    is_trade = isinstance(refusal, TradeRefused)
    faults = [
        _fault(_called(one, asked) if is_trade else one, unit, asked) for one in refusal.faults
    ]
    return orjson.dumps({"count": refusal.count, "faults": faults})


_MEMBER: Final = re.compile(r"\bmember(?=s?\b)")


def _called(fault: Fault, asked: object) -> Fault:
    """A fault of the trade with members called as those of its surface are."""
    name = support_asked(fault.pointer, asked)
    return replace(fault, detail=_MEMBER.sub(name, fault.detail))


def _fault(fault: Fault, unit: str, asked: object) -> dict[str, Any]:
    """A fault with what it has; members without a value are left out."""
    scale = scale_of(unit)
    written = {
        "code": fault.code,
        "detail": in_system(fault.detail, unit),
        "pointer": fault.pointer,
        "rule": fault.rule,
        "measure": scale.maybe(fault.measure),
        "limit": scale.maybe(fault.limit),
        "cure": cure_rows(asked, fault.cure, scale.exactly),
    }
    return {key: value for key, value in written.items() if value is not None}
