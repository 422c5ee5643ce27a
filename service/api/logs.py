"""The log: one JSON object a line, on standard error. No body, no key, no text of a caller.

A fault is told by its type and place, never by its message, which may hold what was sent.
"""

from __future__ import annotations

import json
import logging
from collections.abc import MutableMapping
from typing import Any, Final

import structlog

REQUESTS: Final = logging.getLogger("service.requests")
"""Where each answered request gets its line."""

_Event = MutableMapping[str, Any]


def configure(level: str) -> None:
    """Write the logs of this process as JSON lines; `level` is info, warning or error."""
    formatter = structlog.stdlib.ProcessorFormatter(
        foreign_pre_chain=[
            structlog.stdlib.add_log_level,
            structlog.stdlib.add_logger_name,
            structlog.stdlib.ExtraAdder(),
            structlog.processors.TimeStamper(fmt="iso", utc=True, key="at"),
        ],
        processors=[
            _placed,
            structlog.stdlib.ProcessorFormatter.remove_processors_meta,
            structlog.processors.JSONRenderer(serializer=_line),
        ],
    )
    stream = logging.StreamHandler()
    stream.setFormatter(formatter)
    root = logging.getLogger()
    root.handlers = [stream]
    root.setLevel(logging.WARNING)
    logging.getLogger("service").setLevel(level.upper())
    # It warns of every connection that speaks no HTTP, which is no fault of the service.
    logging.getLogger("uvicorn").setLevel(logging.ERROR)


def where(fault: BaseException) -> str:
    """Type and innermost place of a fault; never its message, which may hold a caller's text."""
    trace = fault.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if trace is None:
        return type(fault).__name__
    code = trace.tb_frame.f_code
    return f"{type(fault).__name__} at {code.co_filename}:{trace.tb_lineno} in {code.co_name}"


def _placed(_logger: Any, _name: str, event: _Event) -> _Event:
    """Put the place of a fault in the place of its traceback."""
    fault = event.pop("exc_info", None)
    record = event.get("_record")
    if record is not None and record.exc_info:
        fault = record.exc_info
    if fault and fault[1] is not None:
        event["fault"] = where(fault[1])
    return event


def _line(event: _Event, **_: Any) -> str:
    """One line of ASCII: a control character can stand in it only as an escape."""
    return json.dumps(event, default=str).replace("\x7f", "\\u007f")
