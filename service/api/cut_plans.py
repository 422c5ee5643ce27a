"""POST /v1/cut-plans: lengths and stock in, what is cut from which stick out."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from service.api import accept
from service.api.parameters import TABLE, Columns, fitting
from service.api.work import Work
from service.compute import CSV, Picked
from service.report.tables.cut_plan import CUT_BY_NAME

FORMS: Final = ("json", "csv", "txt")
_MEDIA: Final = tuple(accept.FORMATS[name] for name in FORMS)

Format = Annotated[
    str | None,
    Query(
        description="Form of the answer, before Accept: `csv` is the sticks and what is cut from "
        "them, `txt` the cut plan on paper.",
        max_length=8,
        json_schema_extra={"enum": list(FORMS)},
    ),
]
Tables = Annotated[
    str | None,
    Query(
        description="CSV: this table of the answer, by its name; without it, the sticks.",
        pattern=TABLE,
        max_length=32,
        json_schema_extra={"enum": list(CUT_BY_NAME)},
    ),
]


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
