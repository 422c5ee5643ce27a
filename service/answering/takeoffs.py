"""A job taken off, in the form that was asked for."""

from __future__ import annotations

import orjson

from service.answering.operation import CSV, JSON, SVG, Operation, Picked, Rendered
from service.answering.refusals import told_of
from service.cures import with_tried_findings
from service.products.registry import nouns
from service.report.drawing.svg import draw
from service.report.printout.columns import USUAL
from service.report.printout.written import printout
from service.report.sheets import sheets
from service.report.tables.csv_table import as_csv
from service.report.tables.flat import answer_shape, flat
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
        takeoff = take_off(job, draw=picked.media == SVG)
    return Rendered(rendered(takeoff, picked), gap_of(takeoff))


def gap_of(takeoff: Takeoff) -> float | None:
    """By how much the dearest of the plans may cost too much, in percent; None without a plan."""
    gaps = [plan.gap_pct for supplied in takeoff.supplied for plan in supplied.plans]
    return max((gap for gap in gaps if gap is not None), default=None)


def rendered(takeoff: Takeoff, picked: Picked) -> bytes:
    """A takeoff in the form that was picked."""
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
