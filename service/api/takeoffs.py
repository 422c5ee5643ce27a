"""POST /v1/takeoffs: a job in, its takeoff out, in the form that was asked for."""

from __future__ import annotations

import asyncio
import hashlib
import logging
from collections.abc import Awaitable
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from service.api import accept, bodies
from service.api.compute_pool import ComputePool
from service.api.guard import request_id
from service.api.metrics import Metrics
from service.api.problems import TABLE, Declined, declined_by
from service.api.settings import Settings
from service.compute import Outcome, Picked
from service.report.printout.columns import NARROWEST, USUAL, WIDEST
from service.report.tables.catalogue import BY_NAME

_LOG: Final = logging.getLogger("service.api")
_MEDIA: Final = tuple(accept.FORMATS.values())
_LEFT_SECONDS: Final = 1.0
"""How long work goes on after its client has left: a new process costs more than a short job."""

_DRAWING_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
_HEADERS: Final = {
    "application/json": {},
    "image/svg+xml": {
        "Content-Security-Policy": _DRAWING_POLICY,
        "Content-Disposition": 'inline; filename="takeoff.svg"',
    },
    "text/csv": {"Content-Disposition": 'attachment; filename="{table}.csv"'},
    "text/plain": {"Content-Disposition": 'inline; filename="takeoff.txt"'},
}
"""Headers by media type; `{table}` is the name of the table that was picked."""

_NAME: Final = r"^[a-z0-9_-]{1,32}$"
_TABLE: Final = r"^[a-z_]{1,32}$"

Format = Annotated[
    str | None,
    Query(
        description="Form of the answer, before Accept: `svg` is the drawing, `csv` the order, "
        "`txt` the whole takeoff on paper.",
        max_length=8,
        json_schema_extra={"enum": list(accept.FORMATS)},
    ),
]
Surface = Annotated[
    str | None,
    Query(description="Drawing: only this surface, by its id.", pattern=_NAME, max_length=32),
]
Layer = Annotated[
    str | None,
    Query(description="Drawing: only this layer, by its id.", pattern=_NAME, max_length=32),
]
Tables = Annotated[
    str | None,
    Query(
        description="CSV: this table of the answer, by its name; without it, the order.",
        pattern=_TABLE,
        max_length=32,
        json_schema_extra={"enum": list(BY_NAME)},
    ),
]

Columns = Annotated[
    int | None,
    Query(
        description=f"Text: how many characters a line may have; without it {USUAL}.",
        ge=NARROWEST,
        le=WIDEST,
    ),
]


def router(pool: ComputePool, settings: Settings, metrics: Metrics, rules_digest: str) -> APIRouter:
    """The route, over a pool; `rules_digest` goes into the ETag."""
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
        media = accept.choose(request.headers.get("accept"), format, _MEDIA)
        picked = _picked(
            Picked(media=media, surface=surface, layer=layer, table=tables, columns=columns)
        )
        bodies.check_head(request, settings.body_bytes)
        with pool.admit() as until:
            body = await bodies.read(request, settings.body_bytes, settings.body_seconds)
            outcome = await _while_wanted(request, pool.run(body, picked, until), metrics)
        if outcome.kind != "answer":
            raise _declined(request, outcome, body)
        if outcome.gap is not None:
            metrics.gap(outcome.gap)
        return _answer(outcome, picked, rules_digest)

    return routes


def _picked(picked: Picked) -> Picked:
    """What was picked; Declined (422) where a part is asked for that the form does not have."""
    if picked.media != "image/svg+xml" and (picked.surface or picked.layer):
        raise _unfit(
            "`surface` and `layer` pick a part of the drawing: ask for ?format=svg.",
            "surface and layer go with the drawing.",
        )
    if picked.table is not None and picked.media != "text/csv":
        raise _unfit(
            "`tables` picks a table of the CSV: ask for ?format=csv.", "tables goes with CSV."
        )
    if picked.columns is not None and picked.media != "text/plain":
        raise _unfit(
            "`columns` is the width of the text: ask for ?format=txt.", "columns goes with text."
        )
    if picked.table is not None and picked.table not in BY_NAME:
        raise _unfit(
            f"The answer has no table `{picked.table}`.",
            f"tables is one of {', '.join(BY_NAME)}.",
        )
    return picked


def _unfit(meaning: str, detail: str) -> Declined:
    return Declined("ShapeRefused", meaning, errors=[{"code": "parameter", "detail": detail}])


async def _while_wanted(request: Request, work: Awaitable[Outcome], metrics: Metrics) -> Outcome:
    """Await the work; when the client leaves, give it a moment more and then stop it."""
    job = asyncio.ensure_future(work)
    left = asyncio.ensure_future(_left(request))
    try:
        await asyncio.wait({job, left}, return_when=asyncio.FIRST_COMPLETED)
        if not job.done():
            await asyncio.wait({job}, timeout=_LEFT_SECONDS)
        if not job.done():
            metrics.stopped("left")
            raise Declined("Interrupted", "The client left.")
        return job.result()
    finally:
        left.cancel()
        job.cancel()


async def _left(request: Request) -> None:
    while (await request.receive())["type"] != "http.disconnect":
        pass


def _declined(request: Request, outcome: Outcome, body: bytes) -> Declined:
    if outcome.kind in TABLE and TABLE[outcome.kind].status < 500:
        return declined_by(outcome.kind, outcome.body)
    _LOG.error(
        "request %s, body sha256 %s: %s: %r",
        request_id(request.scope), hashlib.sha256(body).hexdigest(), outcome.kind,
        outcome.body[:2_000].decode(errors="replace"),
    )  # fmt: skip
    name = outcome.kind if outcome.kind in TABLE else "Escaped"
    return Declined(name, TABLE[name].meaning)


def _answer(outcome: Outcome, picked: Picked, rules_digest: str) -> Response:
    """The answer, tagged by the canonical job, the rules and the form: what its bytes rest on."""
    named = "\n".join(
        str(one)
        for one in (
            outcome.digest, rules_digest, picked.media, picked.surface, picked.layer,
            picked.table, picked.columns,
        )
    )  # fmt: skip
    headers = {
        "ETag": f'W/"{hashlib.sha256(named.encode()).hexdigest()[:32]}"',
        "Vary": "Accept",
        **{
            name: text.replace("{table}", picked.table or "order")
            for name, text in _HEADERS.get(picked.media, {}).items()
        },
    }
    return Response(outcome.body, media_type=outcome.media, headers=headers)
