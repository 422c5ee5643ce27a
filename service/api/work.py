"""Work that is asked for with a body: a place held, the body read, the answer tagged."""

from __future__ import annotations

import asyncio
import hashlib
import logging
from collections.abc import Awaitable, Mapping
from dataclasses import dataclass
from typing import Final

from fastapi import Request, Response

from service.api import bodies
from service.api.compute_pool import ComputePool
from service.api.guard import request_id
from service.api.metrics import Metrics
from service.api.problems import TABLE, Declined, declined_by
from service.api.rates import spend_once_more
from service.api.settings import Settings
from service.api.streaming import InParts
from service.compute import Outcome, Picked

_LOG: Final = logging.getLogger("service.api")
_LEFT_SECONDS: Final = 1.0
"""How long work goes on after its client has left: a new process costs more than a short job."""


@dataclass(frozen=True, slots=True)
class Work:
    """Where every operation that takes a body has its work done; `rules_digest` goes into tags."""

    pool: ComputePool
    settings: Settings
    metrics: Metrics
    rules_digest: str

    async def answered(
        self, request: Request, picked: Picked, headers: Mapping[str, str]
    ) -> Response:
        """What was picked of the answer to the body of a request, with its form's headers.

        Raises Declined.
        """
        bodies.check_head(request, self.settings.body_bytes)
        with self.pool.admit() as until:
            body = await bodies.read(request, self.settings.body_bytes, self.settings.body_seconds)
            outcome = await self._done(request, body, picked, until)
        return _answer(outcome, picked, self.rules_digest, headers)

    async def asked(self, request: Request, body: bytes, picked: Picked) -> Outcome:
        """What is answered to a body that was made of the request's parameters. Raises Declined."""
        with self.pool.admit() as until:
            return await self._done(request, body, picked, until)

    async def _done(self, request: Request, body: bytes, picked: Picked, until: float) -> Outcome:
        work = self.pool.run(body, picked, until)
        return self._sound(request, body, await _while_wanted(request, work, self.metrics))

    def _sound(self, request: Request, body: bytes, outcome: Outcome) -> Outcome:
        if outcome.kind != "answer":
            raise _declined(request, outcome, body)
        if outcome.gap is not None:
            self.metrics.gap(outcome.gap)
        return outcome

    async def one_of_many(self, request: Request, body: bytes, picked: Picked) -> Outcome:
        """What is answered to this body, one of many of a request. Raises Declined."""
        await spend_once_more(request)
        return self._sound(request, body, await self.pool.run_in_turn(body, picked))

    def told(self, request: Request, declined: Declined, number: int) -> bytes:
        """The problem of the `number`th of a request."""
        self.metrics.problem(TABLE[declined.name].slug)
        return declined.body(f"{request_id(request.scope)}.{number}")


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


def _answer(
    outcome: Outcome, picked: Picked, rules_digest: str, headers: Mapping[str, str]
) -> Response:
    """The answer, tagged by what was asked, the rules and the form: what its bytes rest on.

    No body is sound for two operations, so which it was needs no tag.
    """
    named = "\n".join(
        str(one)
        for one in (
            outcome.digest, rules_digest, picked.media, picked.surface, picked.layer,
            picked.table, picked.columns, picked.paper, *picked.parts,
        )
    )  # fmt: skip
    tag = f'W/"{hashlib.sha256(named.encode()).hexdigest()[:32]}"'
    return InParts(
        outcome.body, media_type=outcome.media, headers={"ETag": tag, "Vary": "Accept", **headers}
    )
