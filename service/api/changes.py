"""POST /v1/changes: a job before and after a change in, the change order out."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Request, Response

from service.api import accept
from service.api.parameters import (
    MEDIA,
    Columns,
    Layer,
    Surface,
    fitting,
    form_of,
    tables_of,
)
from service.api.work import Work
from service.compute import Picked
from service.report.tables.changes import BY_NAME

Format = Annotated[
    str | None,
    form_of(
        accept.FORMATS,
        "`svg` is the drawing, `csv` what is to buy, `txt` the change order on paper.",
    ),
]
Tables = Annotated[str | None, tables_of(BY_NAME, "what is to buy")]


def router(work: Work) -> APIRouter:
    """The route, over where its work is done."""
    routes = APIRouter()

    @routes.post("/v1/changes", operation_id="change", tags=["changes"], response_model=None,
                 summary="Order a change",
                 description="What a change of a job asks for: pieces that stay, go and come, what "
                 "to buy and what goes back. Stateless: both jobs are sent.")  # fmt: skip
    async def change(
        request: Request,
        format: Format = None,
        surface: Surface = None,
        layer: Layer = None,
        tables: Tables = None,
        columns: Columns = None,
    ) -> Response:
        media = accept.choose(request.headers.get("accept"), format, MEDIA)
        picked = Picked(
            media=media, surface=surface, layer=layer, table=tables, columns=columns,
            operation="changes",
        )  # fmt: skip
        return await work.answered(request, fitting(picked, BY_NAME))

    return routes
