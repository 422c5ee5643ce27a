"""POST /v1/takeoffs: a job in, its takeoff out, in the form that was asked for."""

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
from service.report.tables.catalogue import BY_NAME

Format = Annotated[
    str | None,
    form_of(
        accept.FORMATS, "`svg` is the drawing, `csv` the order, `txt` the whole takeoff on paper."
    ),
]
Tables = Annotated[str | None, tables_of(BY_NAME, "the order")]


def router(work: Work) -> APIRouter:
    """The route, over where its work is done."""
    routes = APIRouter()

    @routes.post("/v1/takeoffs", operation_id="takeOff", tags=["takeoffs"], response_model=None,
                 summary="Take off a job",
                 description="Everything that boarding the given surfaces takes. Stateless: the "
                 "same body gives the same bytes.")  # fmt: skip
    async def take_off(
        request: Request,
        format: Format = None,
        surface: Surface = None,
        layer: Layer = None,
        tables: Tables = None,
        columns: Columns = None,
    ) -> Response:
        media = accept.choose(request.headers.get("accept"), format, MEDIA)
        picked = Picked(media=media, surface=surface, layer=layer, table=tables, columns=columns)
        return await work.answered(request, fitting(picked, BY_NAME))

    return routes
