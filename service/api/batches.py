"""POST /v1/batches: a job a line in, its answer or its problem a line out, in the same order."""

from __future__ import annotations

from collections.abc import AsyncGenerator
from itertools import count
from typing import Final

from fastapi import APIRouter, Request, Response

from service.api import accept, bodies
from service.api.lines import Line, Lines, too_many_bytes
from service.api.problems import Declined
from service.api.streaming import Places, Streamed, in_order
from service.api.work import Work
from service.compute import Picked

MEDIA: Final = "application/x-ndjson"
TYPES: Final = (MEDIA, "application/ndjson", "application/jsonl")
"""What the lines may be sent as."""

PATH: Final = "/v1/batches"


def router(work: Work, places: Places) -> APIRouter:
    """The route, over where its work is done and how many batches there may be."""
    routes = APIRouter()

    @routes.post(PATH, operation_id="takeOffBatch", tags=["takeoffs"], response_model=None,
                 summary="Take off many jobs",
                 description="A job on each line (NDJSON). Answers come as they are ready, one on "
                 "each line, in the same order: what `/v1/takeoffs` answers to that job alone, to "
                 "the byte, a problem too, but for its `instance`. A line with `status` is a "
                 "problem. Each line has a deadline of its own; a full service makes the batch "
                 "wait.")  # fmt: skip
    async def take_off_batch(request: Request) -> Response:
        accept.choose(request.headers.get("accept"), None, (MEDIA,))
        bodies.check_head(request, work.settings.batch_bytes, TYPES, too_many_bytes)
        lines = Lines(work.settings)
        return Streamed(_answers(request, lines, work, places), MEDIA, {}, lines.watch)

    return routes


async def _answers(
    request: Request, lines: Lines, work: Work, places: Places
) -> AsyncGenerator[bytes]:
    numbers = count(1)

    async def answer(line: Line) -> bytes:
        number = next(numbers)
        try:
            if isinstance(line, Declined):
                raise line
            return (await work.one_of_many(request, line, Picked())).body + b"\n"
        except Declined as declined:
            return work.told(request, declined, number) + b"\n"

    with places.held():
        async for part in in_order(lines.each(), answer, work.settings.processes):
            yield part
