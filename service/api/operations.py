"""What the operator's own tools ask: the counters, at /metrics."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from service.api.compute_pool import ComputePool
from service.api.metrics import Metrics


def router(metrics: Metrics, pool: ComputePool) -> APIRouter:
    """The counters in the text form of Prometheus; no part of the published contract."""
    routes = APIRouter()

    @routes.get("/metrics", include_in_schema=False)
    async def counters(request: Request) -> Response:
        pool.look()
        page, media = metrics.written(request.headers.get("accept", ""))
        return Response(page, headers={"Content-Type": media})

    return routes
