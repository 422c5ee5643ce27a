"""A job taken off, in the form that was asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

import orjson

from service.answering.operation import (
    CSV,
    DXF,
    JSON,
    PDF,
    SVG,
    TEXT,
    XLSX,
    Operation,
    Picked,
    Rendered,
)
from service.answering.refusals import told_of
from service.cures import with_tried_findings
from service.products.registry import nouns
from service.report.cad.plan import plan
from service.report.cad.written import dxf
from service.report.drawing.svg import chosen, draw, draw_apart
from service.report.paper import laid_on, paper_of
from service.report.printout.columns import USUAL
from service.report.printout.written import printout
from service.report.sheets import sheets
from service.report.shop_sheets.made import FACE, shop_sheets
from service.report.tables.catalogue import BY_NAME, TABLES
from service.report.tables.csv_table import as_csv
from service.report.tables.flat import answer_shape, flat
from service.report.workbook.made import workbook
from service.request.cost import cost
from service.request.model import job_model
from service.request.reading import job_of
from service.request.shaped import unit_of
from service.takeoff.job import Job
from service.takeoff.pipeline import Takeoff, take_off


def _read(asked: object) -> Job:
    with told_of(asked):
        return job_of(asked)


def _answer(job: Job, picked: Picked) -> Rendered:
    with told_of(job.asked):
        takeoff = take_off(job, draw=picked.is_drawn)
    return Rendered(rendered(takeoff, picked), gap_of(takeoff))


def gap_of(takeoff: Takeoff) -> float | None:
    """By how much the dearest of the plans may cost too much, in percent; None without a plan."""
    gaps = [plan.gap_pct for supplied in takeoff.supplied for plan in supplied.plans]
    return max((gap for gap in gaps if gap is not None), default=None)


def rendered(takeoff: Takeoff, picked: Picked) -> bytes:
    """A takeoff in the form that was picked."""
    return _FORMS[picked.media](takeoff, picked)


def _as_json(takeoff: Takeoff, picked: Picked) -> bytes:
    tried = with_tried_findings(takeoff) if picked.wants("findings") else takeoff
    return orjson.dumps(picked.kept(flat(tried), BY_NAME))


def _as_drawing(takeoff: Takeoff, picked: Picked) -> bytes:
    pages = laid_on(sheets(takeoff), picked.paper or "letter")
    return draw(pages, picked.surface, picked.layer)


def _as_table(takeoff: Takeoff, picked: Picked) -> bytes:
    tried = with_tried_findings(takeoff) if picked.table == "findings" else takeoff
    return as_csv(tried, picked.table)


def _on_paper(takeoff: Takeoff, picked: Picked) -> bytes:
    return printout(_told(takeoff), nouns(), picked.columns or USUAL).encode()


def _as_workbook(takeoff: Takeoff, picked: Picked) -> bytes:
    return workbook(_told(takeoff), TABLES, "order", picked.paper)


def _as_shop_sheets(takeoff: Takeoff, picked: Picked) -> bytes:
    answer = _told(takeoff)
    paper = picked.paper or paper_of(answer)
    pages = draw_apart(laid_on(sheets(takeoff), paper), FACE)
    return shop_sheets(answer, nouns(), pages, paper)


def _for_cad(takeoff: Takeoff, picked: Picked) -> bytes:
    return dxf(plan(chosen(sheets(takeoff), picked.surface)))


def _told(takeoff: Takeoff) -> Mapping[str, Any]:
    """The very answer that a client would read as JSON."""
    answer: Mapping[str, Any] = orjson.loads(_as_json(takeoff, Picked()))
    return answer


_FORMS: Final[Mapping[str, Callable[[Takeoff, Picked], bytes]]] = {
    JSON: _as_json,
    SVG: _as_drawing,
    CSV: _as_table,
    TEXT: _on_paper,
    XLSX: _as_workbook,
    PDF: _as_shop_sheets,
    DXF: _for_cad,
}
"""Media type -> how a takeoff is written in it."""


TAKEOFFS = Operation(
    name="takeoffs",
    id="takeOff",
    read=_read,
    cost=cost,
    answer=_answer,
    unit=unit_of,
    request=job_model,
    reply=answer_shape,
    examples="",
)
