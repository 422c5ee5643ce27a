"""POST /v1/comparisons: a job and variations in, which is best and why out."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Request, Response

from service.api import accept
from service.api.parameters import Columns, fitting, form_of, tables_of
from service.api.work import Work
from service.compute import CSV, Picked
from service.report.tables.comparison import COMPARISON_BY_NAME

FORMS: Final = ("json", "csv", "txt")
_MEDIA: Final = tuple(accept.FORMATS[name] for name in FORMS)

Format = Annotated[
    str | None,
    form_of(FORMS, "`csv` is the variations by rank, `txt` the comparison on paper."),
]
Tables = Annotated[str | None, tables_of(COMPARISON_BY_NAME, "the variations")]


def router(work: Work) -> APIRouter:
    """The route, over where its work is done."""
    routes = APIRouter()

    @routes.post("/v1/comparisons", operation_id="compare", tags=["takeoffs"], response_model=None,
                 summary="Compare a job with variations",
                 description="Each variation is solved as it would be alone, and all are ranked. "
                 "Also: what there is and the least to buy, what causes waste, what to measure "
                 "again, what came.")  # fmt: skip
    async def compare(
        request: Request,
        format: Format = None,
        tables: Tables = None,
        columns: Columns = None,
    ) -> Response:
        media = accept.choose(request.headers.get("accept"), format, _MEDIA)
        table = tables or ("variations" if media == CSV else None)
        picked = Picked(media=media, table=table, columns=columns, operation="comparisons")
        return await work.answered(request, fitting(picked, COMPARISON_BY_NAME))

    return routes
