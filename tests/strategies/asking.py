"""The service as a black box: a request in, the answer's tables or the refusal's faults out."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import Any
from unittest import mock

from service.answering import takeoffs
from service.compute import Outcome, Picked, answer
from service.takeoff.job import Job
from service.takeoff.pipeline import Takeoff, take_off

Request = dict[str, Any]


@lru_cache(maxsize=256)
def outcome(body: bytes, operation: str = "takeoffs") -> Outcome:
    """What the service makes of a body; remembered, for tests that share a request."""
    return answer(body, Picked(operation=operation))


@contextmanager
def taken_off_once() -> Iterator[None]:
    """Within it one request is taken off once, in whatever forms it is asked for.

    For tests of what is written of a takeoff; that it is the same each time has tests of its own.
    """
    made: list[Takeoff] = []

    def once(job: Job, *, draw: bool) -> Takeoff:
        if not made:
            made.append(take_off(job, draw=True))
        return made[0]

    with mock.patch.object(takeoffs, "take_off", once):
        yield


def in_forms(body: bytes, forms: Iterable[Picked]) -> list[Outcome]:
    """What the service makes of a body in each of several forms, taken off once."""
    with taken_off_once():
        return [answer(body, picked) for picked in forms]


def body_of(request: Request) -> bytes:
    """A request as it is sent."""
    return json.dumps(request).encode()


def asked(request: Request, operation: str = "takeoffs") -> Outcome:
    """The outcome of a request."""
    return outcome(body_of(request), operation)


def answered(request: Request, operation: str = "takeoffs") -> Request:
    """The tables of the answer; a refusal fails the test and shows its faults."""
    found = asked(request, operation)
    assert found.kind == "answer", (found.kind, found.body.decode(), json.dumps(request))
    tables: Request = json.loads(found.body)
    return tables


def refused(request: Request, operation: str = "takeoffs") -> tuple[str, list[Request]]:
    """The kind of a refusal and its faults; an answer fails the test."""
    found = asked(request, operation)
    assert found.kind != "answer", json.dumps(request)
    return found.kind, json.loads(found.body)["faults"]
