"""The composition root: the one place that sees every room and puts the service together."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path
from typing import Final

from fastapi import Depends, FastAPI

from service import __version__
from service.answering.registry import OPERATIONS as ASKED
from service.api import (
    batches,
    contract,
    docs,
    faults,
    index,
    operations,
    problem_pages,
    quote,
    rectangles,
    rows,
    tracing,
)
from service.api import catalogue as shelves
from service.api.admission import Admission
from service.api.asking import router
from service.api.askings import ASKINGS
from service.api.coded import coded
from service.api.compute_pool import ComputePool
from service.api.forms import BY_NAME, JSON_FORM
from service.api.guard import Guard
from service.api.keys import gate, watching
from service.api.metrics import Metrics
from service.api.origins import Origins
from service.api.rates import quota_of
from service.api.settings import Settings
from service.api.streaming import Places
from service.api.work import Work
from service.compute import Picked, answer
from service.products import registry as kinds

OPENAPI: Final = Path(__file__).parents[1] / "openapi"
"""Folder of the committed document and the examples."""


def create_app(settings: Settings | None = None) -> FastAPI:
    """The whole service; `settings` default to the environment's."""
    settings = settings or Settings()
    if settings.kinds_path:
        kinds.add_folders(settings.kinds_path)
    return assemble(settings, kinds)


def assemble(settings: Settings, registry: shelves.Catalogue) -> FastAPI:
    """The application over a catalogue of kinds and tables."""
    metrics = Metrics()
    pool = ComputePool(settings, metrics)
    traces = tracing.telemetry(settings)
    app = FastAPI(
        title="Surface takeoff", version=__version__, lifespan=_lifespan(pool, tracing.end(traces)),
        openapi_url=None, docs_url=None, redoc_url=None, redirect_slashes=False,
        telemetry=traces,
    )  # fmt: skip
    quota, known = quota_of(settings), Depends(faults.refuse_unknown_parameters)
    strict = [Depends(gate(settings, quota)), known]
    cell = [Depends(gate(settings, quota, in_address=True)), known]
    work = Work(pool, settings, metrics, registry.rules_digest())
    for asking in ASKINGS:
        app.include_router(router(asking, work), dependencies=strict)
    places = Places(settings.batches, settings.retry_after_seconds)
    app.include_router(batches.router(work, places), dependencies=strict)
    app.include_router(rows.router(work, places), dependencies=strict)
    app.include_router(rectangles.router(work), dependencies=cell)
    app.include_router(shelves.router(registry), dependencies=strict)
    app.include_router(shelves.health(pool, settings))
    app.include_router(problem_pages.router())
    app.include_router(shelves.document(_document(app, registry)))
    app.include_router(index.router(settings))
    if settings.docs:
        app.include_router(docs.router())
    if settings.quote:
        app.include_router(quote.router(settings, ASKINGS[0].forms))
    if settings.metrics:
        watched = [Depends(watching(settings))]
        app.include_router(operations.router(metrics, pool), dependencies=watched)
    faults.install(app)
    app.add_middleware(Admission, pool=pool)
    _add_outer_layers(app, settings, metrics)
    app.state.pool = pool
    return app


def _add_outer_layers(app: FastAPI, settings: Settings, metrics: Metrics) -> None:
    """What lies round everything else; the last that is added is the outermost."""
    if settings.cors_origins:
        app.add_middleware(Origins, allowed=settings.cors_origins)
    if settings.compression:
        app.add_middleware(coded)
    app.add_middleware(Guard, settings=settings, metrics=metrics)


def write_answers() -> None:
    """Answer anew every example whose answer the OpenAPI document shows."""
    for one in ASKED.values():
        folder = OPENAPI / "examples" / one.examples
        for file in sorted((folder / "answers").glob("*.*")):
            form = BY_NAME[file.suffix.removeprefix(".")]
            asked = (folder / f"{file.stem}.json").read_bytes()
            outcome = answer(asked, Picked(operation=one.name, media=form.media))
            file.write_bytes(_indented(outcome.body) if form is JSON_FORM else outcome.body)


def _indented(body: bytes) -> bytes:
    return (json.dumps(json.loads(body), indent=1, ensure_ascii=False) + "\n").encode()


def openapi_document(app: FastAPI) -> bytes:
    """The OpenAPI document of `app`, in its canonical form."""
    return _document(app, kinds)()


def _document(app: FastAPI, registry: shelves.Catalogue) -> Callable[[], bytes]:
    def write() -> bytes:
        known = {
            "kind": registry.names(),
            "id": [str(row["id"]) for row in registry.tables()],
            "number": [row["number"] for row in registry.rules()],
        }
        document = contract.build(
            app, ASKINGS, OPENAPI / "examples", shelves.shown(registry), known, registry.words()
        )
        return contract.written(document)

    return write


def _lifespan(
    pool: ComputePool, end_traces: Callable[[], None]
) -> Callable[[FastAPI], AbstractAsyncContextManager[None]]:
    @asynccontextmanager
    async def run(_: FastAPI) -> AsyncIterator[None]:
        pool.start()
        try:
            yield
        finally:
            await pool.close()
            await asyncio.to_thread(end_traces)

    return run
