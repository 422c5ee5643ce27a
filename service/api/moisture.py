"""POST /v1/moisture: boards, air and readings in, whether they may go up and how they move out."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Request, Response

from service.api import accept
from service.api.parameters import Columns, fitting, form_of, tables_of
from service.api.work import Work
from service.compute import CSV, Picked
from service.report.tables.moisture import MOIST_BY_NAME

FORMS: Final = ("json", "csv", "txt")
_MEDIA: Final = tuple(accept.FORMATS[name] for name in FORMS)

Format = Annotated[
    str | None,
    form_of(FORMS, "`csv` is the checks before boards go up, `txt` all of it on paper."),
]
Tables = Annotated[str | None, tables_of(MOIST_BY_NAME, "the checks")]


def router(work: Work) -> APIRouter:
    """The route, over where its work is done."""
    routes = APIRouter()

    @routes.post("/v1/moisture", operation_id="moisten", tags=["takeoffs"], response_model=None,
                 summary="Say whether boards may go up",
                 description="Moisture alone, with no surface: what the air brings boards to, how "
                 "far they move till then, whether to install or to hold by the readings of a "
                 "meter, and how they are stacked while they wait.")  # fmt: skip
    async def moisten(
        request: Request,
        format: Format = None,
        tables: Tables = None,
        columns: Columns = None,
    ) -> Response:
        media = accept.choose(request.headers.get("accept"), format, _MEDIA)
        table = tables or ("checks" if media == CSV else None)
        picked = Picked(media=media, table=table, columns=columns, operation="moisture")
        return await work.answered(request, fitting(picked, MOIST_BY_NAME))

    return routes
