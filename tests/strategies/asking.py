"""The service as a black box: a request in, the answer's tables or the refusal's faults out."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from service.compute import Outcome, Picked, answer

Request = dict[str, Any]


@lru_cache(maxsize=256)
def outcome(body: bytes) -> Outcome:
    """What the service makes of a body; remembered, for tests that share a request."""
    return answer(body, Picked())


def body_of(request: Request) -> bytes:
    """A request as it is sent."""
    return json.dumps(request).encode()


def asked(request: Request) -> Outcome:
    """The outcome of a request."""
    return outcome(body_of(request))


def answered(request: Request) -> Request:
    """The tables of the answer; a refusal fails the test and shows its faults."""
    found = asked(request)
    assert found.kind == "answer", (found.kind, found.body.decode(), json.dumps(request))
    tables: Request = json.loads(found.body)
    return tables


def refused(request: Request) -> tuple[str, list[Request]]:
    """The kind of a refusal and its faults; an answer fails the test."""
    found = asked(request)
    assert found.kind != "answer", json.dumps(request)
    return found.kind, json.loads(found.body)["faults"]
