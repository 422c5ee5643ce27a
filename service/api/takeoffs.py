"""POST /v1/takeoffs: a job in, its takeoff out, in the form that was asked for."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from service.api import accept
from service.api.parameters import MEDIA, TABLE, Columns, Format, Layer, Surface, fitting
from service.api.work import Work
from service.compute import Picked
from service.report.tables.catalogue import BY_NAME

Tables = Annotated[
    str | None,
    Query(
        description="CSV: this table of the answer, by its name; without it, the order.",
        pattern=TABLE,
        max_length=32,
        json_schema_extra={"enum": list(BY_NAME)},
    ),
]


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
