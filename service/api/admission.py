"""Says no before anything else is done: a service that is full must spend nothing on saying so."""

from __future__ import annotations

from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from service.api.compute_pool import ComputePool
from service.api.guard import request_id
from service.api.problems import MEDIA

_METHOD = "POST"
"""What asks for work; all else is answered from what is at hand."""
WAITING = ("/v1/batches", "/v1/rows", "/v1/rows.csv")
"""What waits where the service is full, line by line."""


class Admission:
    """Wraps the application: while no place is free, work is refused before it is looked at."""

    def __init__(self, app: ASGIApp, pool: ComputePool) -> None:
        self._app = app
        self._pool = pool

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one connection event; only a request for work may be refused."""
        declined = None
        if scope["type"] == "http" and scope["method"] == _METHOD:
            waits = scope["path"] in WAITING
            declined = self._pool.stopping() if waits else self._pool.refusal()
        if declined is None:
            await self._app(scope, receive, send)
            return
        scope["problem"] = declined.name
        body = declined.body(request_id(scope))
        answer = Response(body, declined.status, headers=declined.headers, media_type=MEDIA)
        await answer(scope, receive, send)
