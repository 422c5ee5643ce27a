"""Pieces cut from sticks, in the form that was asked for."""

from __future__ import annotations

import orjson

from service.answering.operation import CSV, JSON, PDF, XLSX, Operation, Picked, Rendered
from service.products.registry import nouns
from service.report.printout.columns import USUAL
from service.report.printout.cut_plan import cut_plan_parts, cut_plan_printout
from service.report.shop_sheets.made import on_sheets
from service.report.tables.cut_plan import (
    CUT_BY_NAME,
    CUT_TABLES,
    cut_plan_csv,
    cut_plan_shape,
    flat_cut_plan,
)
from service.report.workbook.made import workbook
from service.request.cut_plans import cost, cut_job_of
from service.request.shaped import unit_of
from service.schemas.cut_plan import CutPlanAsked
from service.takeoff.cut_plan import CutJob, CutPlan, cut


def _answer(job: CutJob, picked: Picked) -> Rendered:
    plan = cut(job)
    (row,) = plan.supplied.plans
    return Rendered(_rendered(plan, picked), row.gap_pct)


def _rendered(plan: CutPlan, picked: Picked) -> bytes:
    if picked.media == CSV:
        return cut_plan_csv(plan, picked.table)
    answer = flat_cut_plan(plan)
    if picked.media == JSON:
        return orjson.dumps(picked.kept(answer, CUT_BY_NAME))
    plain = orjson.loads(orjson.dumps(answer))
    if picked.media == XLSX:
        return workbook(plain, CUT_TABLES, "sticks", picked.paper)
    if picked.media == PDF:
        parts = cut_plan_parts(plain, nouns())
        return on_sheets(plain, "Cut plan", [parts], paper=picked.paper)
    return cut_plan_printout(plain, nouns(), picked.columns or USUAL).encode()


CUT_PLANS = Operation(
    name="cut-plans",
    id="planCuts",
    read=cut_job_of,
    cost=cost,
    answer=_answer,
    unit=unit_of,
    request=lambda: CutPlanAsked,
    reply=cut_plan_shape,
    examples="cut-plans",
)
