"""Traces by OpenTelemetry, if the settings name an endpoint; otherwise its library is not read.

The packages are the optional extra `traces` (docker/requirements-traces.lock).
"""

from __future__ import annotations

from collections.abc import Callable, MutableMapping
from typing import Any, Final

from fastapi.telemetry import TelemetryConfig

from service.api.keys import CELL_KEY
from service.api.settings import Settings

_QUIET: Final = ("/health/", "/metrics")


def telemetry(settings: Settings) -> TelemetryConfig:
    """What the framework is to trace: one span a request, without bodies and messages.

    Raises ImportError with the cure where an endpoint is set and the packages are missing.
    """
    off = TelemetryConfig(
        tracing=False, metrics=False, logs=False, operation_spans=False, auto_configure=False
    )
    if not settings.traces_endpoint:
        return off
    return {**off, "tracing": True, "tracer_provider": _provider(settings), "exclude": _is_quiet}


def end(config: TelemetryConfig) -> Callable[[], None]:
    """What sends the last spans and ends the sending; nothing where there are no traces."""
    provider: Any = config.get("tracer_provider")
    return provider.shutdown if provider is not None else lambda: None


def _provider(settings: Settings) -> Any:
    try:
        from opentelemetry.exporter.otlp.proto.http.trace_exporter import (
            OTLPSpanExporter,
        )
        from opentelemetry.sdk.resources import Resource
        from opentelemetry.sdk.trace import TracerProvider
        from opentelemetry.sdk.trace.export import BatchSpanProcessor
        from opentelemetry.sdk.trace.sampling import (
            ParentBased,
            TraceIdRatioBased,
        )
    except ImportError as missing:
        raise ImportError(
            "TAKEOFF_TRACES_ENDPOINT is set, but the packages for it are not installed: "
            "pip install --require-hashes -r docker/requirements-traces.lock"
        ) from missing
    provider = TracerProvider(
        resource=Resource.create({"service.name": "surface-takeoff"}),
        sampler=ParentBased(TraceIdRatioBased(settings.traces_share)),
    )
    exporter = OTLPSpanExporter(endpoint=settings.traces_endpoint, timeout=5)
    provider.add_span_processor(BatchSpanProcessor(exporter))
    return provider


def _is_quiet(scope: MutableMapping[str, Any]) -> bool:
    """What is asked all the time, and what has a key in its address, which a trace would keep."""
    has_key = f"{CELL_KEY}=".encode() in scope.get("query_string", b"")
    return has_key or str(scope["path"]).startswith(_QUIET)
