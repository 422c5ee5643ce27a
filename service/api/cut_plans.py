"""POST /v1/cut-plans: lengths and stock in, what is cut from which stick out."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Request, Response

from service.api import accept
from service.api.parameters import Columns, fitting, form_of, tables_of
from service.api.work import Work
from service.compute import CSV, Picked
from service.report.tables.cut_plan import CUT_BY_NAME

FORMS: Final = ("json", "csv", "txt")
_MEDIA: Final = tuple(accept.FORMATS[name] for name in FORMS)

Format = Annotated[
    str | None,
    form_of(FORMS, "`csv` is the sticks and what is cut from them, `txt` the cut plan on paper."),
]
Tables = Annotated[str | None, tables_of(CUT_BY_NAME, "the sticks")]


def router(work: Work) -> APIRouter:
    """The route, over where its work is done."""
    routes = APIRouter()

    @routes.post("/v1/cut-plans", operation_id="planCuts", tags=["takeoffs"], response_model=None,
                 summary="Cut pieces from sticks",
                 description="Cutting alone: which pieces come from which stick, with no surface "
                 "that they lie on. The same stock, saw and proof as in a takeoff.")  # fmt: skip
    async def plan_cuts(
        request: Request,
        format: Format = None,
        tables: Tables = None,
        columns: Columns = None,
    ) -> Response:
        media = accept.choose(request.headers.get("accept"), format, _MEDIA)
        table = tables or ("sticks" if media == CSV else None)
        picked = Picked(media=media, table=table, columns=columns, operation="cut-plans")
        return await work.answered(request, fitting(picked, CUT_BY_NAME))

    return routes
