"""The composition root: the one place that sees every room and puts the service together."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path
from typing import Final

from fastapi import Depends, FastAPI

from service import __version__
from service.api import catalogue as shelves
from service.api import contract, docs, faults, takeoffs
from service.api.compute_pool import ComputePool
from service.api.guard import Guard
from service.api.settings import Settings
from service.compute import answer
from service.products import registry as kinds
from service.request.model import job_schema

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
    pool = ComputePool(settings)
    app = FastAPI(
        title="Surface takeoff", version=__version__, lifespan=_lifespan(pool),
        openapi_url=None, docs_url=None, redoc_url=None, redirect_slashes=False,
        telemetry={"tracing": False, "metrics": False, "logs": False, "operation_spans": False},
    )  # fmt: skip
    strict = [Depends(faults.refuse_unknown_parameters)]
    app.include_router(
        takeoffs.router(pool, settings, registry.rules_digest()), dependencies=strict
    )
    app.include_router(shelves.router(registry), dependencies=strict)
    app.include_router(shelves.health(pool, settings))
    app.include_router(shelves.document(_document(app, registry)))
    if settings.docs:
        app.include_router(docs.router())
    faults.install(app)
    app.add_middleware(Guard, settings=settings)
    app.state.pool = pool
    return app


def write_answers() -> None:
    """Take off anew every example whose answer the OpenAPI document shows."""
    for file in sorted((OPENAPI / "examples" / "answers").glob("*.json")):
        outcome = answer((OPENAPI / "examples" / file.name).read_bytes())
        written = json.dumps(json.loads(outcome.body), indent=1, ensure_ascii=False)
        file.write_text(written + "\n", encoding="utf-8")


def openapi_document(app: FastAPI) -> bytes:
    """The OpenAPI document of `app`, in its canonical form."""
    return _document(app, kinds)()


def _document(app: FastAPI, registry: shelves.Catalogue) -> Callable[[], bytes]:
    def write() -> bytes:
        known = {"kind": registry.names(), "id": [str(row["id"]) for row in registry.tables()]}
        return contract.written(contract.build(app, job_schema(), OPENAPI / "examples", known))

    return write


def _lifespan(pool: ComputePool) -> Callable[[FastAPI], AbstractAsyncContextManager[None]]:
    @asynccontextmanager
    async def run(_: FastAPI) -> AsyncIterator[None]:
        pool.start()
        try:
            yield
        finally:
            await pool.close()

    return run
