"""What the operator's own tools ask: the counters, at /metrics."""

from __future__ import annotations

from fastapi import APIRouter, Response

from service.api.metrics import MEDIA, Metrics


def router(metrics: Metrics) -> APIRouter:
    """The counters in the text form of Prometheus; no part of the published contract."""
    routes = APIRouter()

    @routes.get("/metrics", include_in_schema=False)
    async def counters() -> Response:
        return Response(metrics.written(), headers={"Content-Type": MEDIA})

    return routes
