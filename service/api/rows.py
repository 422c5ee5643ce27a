"""POST /v1/rows: a sheet of rooms in, the same rows with their figures out, row by row."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator, AsyncIterator, Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Final, TypeAlias

import orjson
from fastapi import APIRouter, Query, Request, Response

from service.answering.refusals import written
from service.api import accept, bodies
from service.api.catalogue import unchanged_or
from service.api.problems import Declined, declined_by
from service.api.streaming import Places, Streamed, in_order
from service.api.work import Work
from service.compute import CSV, JSON, Picked
from service.errors import Refusal
from service.report.tables.flat import plain, version
from service.request.shaped import shaped
from service.request.strict_json import loads
from service.rows import csv_out
from service.rows.csv_in import Head, Line, Sheet, read_csv
from service.rows.jobs import alone, sentence
from service.rows.results import refused, unanswered, unworked, worked
from service.rows.template import TEMPLATE
from service.schemas.rooms import COLUMNS, RoomsAsked

PATH: Final = "/v1/rows"
_MEDIA: Final = (JSON, CSV)
_TYPED: Final = {
    JSON: JSON,
    CSV: "text/csv; charset=utf-8; header=present",
}
Format: TypeAlias = Annotated[str | None, Query(max_length=8, include_in_schema=False)]

ROWS: Final = Picked(operation="rows")


def router(work: Work, places: Places) -> APIRouter:
    """The routes, over where their work is done and how many sheets there may be."""
    routes = APIRouter()

    @routes.post(PATH, operation_id="takeOffRows", tags=["rows"], response_model=None,
                 summary="Take off a sheet of rooms",
                 description="A rectangular room on each row, each taken off by itself: boards are "
                 "not pooled over rooms, as one job of many surfaces does. Rows come back in their "
                 "order, with what was sent, as they are ready; a row that cannot be taken off "
                 "says why in its own cell and fails no other. The sheet may be CSV too; "
                 "`/v1/rows.csv` says of that.")  # fmt: skip
    async def take_off_rows(request: Request, format: Format = None) -> Response:
        own = bodies.check_head(request, work.settings.body_bytes, (JSON, CSV))
        others = [media for media in _MEDIA if media != own]
        media = accept.choose(request.headers.get("accept"), format, [own, *others])
        return await answered(request, work, places, own, media)

    @routes.post(f"{PATH}.csv", operation_id="takeOffRowsAsCsv", tags=["rows"],
                 response_model=None, summary="Take off a sheet of rooms, as CSV",
                 description="As `/v1/rows`, for what a spreadsheet saves: columns parted by "
                 "commas, semicolons (then with decimal commas) or tabs, with or without a byte "
                 "order mark; the answer is written in the same manner. Columns that are not known "
                 "are passed on.")  # fmt: skip
    async def take_off_csv(request: Request) -> Response:
        own = bodies.check_head(request, work.settings.body_bytes, (CSV, JSON))
        return await answered(request, work, places, own, CSV)

    @routes.get(f"{PATH}/template.csv", operation_id="rowsTemplate", tags=["rows"],
                response_model=None, summary="A sheet to begin with",
                description="All columns that are read, with two rooms as examples.")  # fmt: skip
    async def template(request: Request) -> Response:
        accept.choose(request.headers.get("accept"), None, (CSV,))
        response = unchanged_or(request, TEMPLATE, _TYPED[CSV])
        response.headers["Content-Disposition"] = 'attachment; filename="rooms.csv"'
        return response

    return routes


async def answered(request: Request, work: Work, places: Places, own: str, media: str) -> Response:
    """The rows of a sheet that came as `own` type, in the form of `media`. Raises Declined."""
    settings = work.settings
    with places.held():
        body = await bodies.read(request, settings.body_bytes, settings.body_seconds)
        sheet = await asyncio.to_thread(_told(read_csv if own == CSV else _read_json), body)
    written = _CSV(sheet) if media == CSV else _JSON(sheet)
    headers = {"Vary": "Accept"}
    if media == CSV:
        headers["Content-Disposition"] = 'attachment; filename="rows.csv"'
    return Streamed(_parts(request, sheet, work, places, written), _TYPED[media], headers)


def _told(read: Callable[[bytes], Sheet]) -> Callable[[bytes], Sheet]:
    """The same with a refusal told as a problem."""

    def reading(body: bytes) -> Sheet:
        try:
            return read(body)
        except Refusal as refusal:
            raise declined_by(type(refusal).__name__, written(refusal, "in", None)) from None

    return reading


def _read_json(body: bytes) -> Sheet:
    rows = [one.model_dump() for one in shaped(RoomsAsked, loads(body)).rows]
    lines = (Line(k + 1, tuple(csv_out.sent(row)), row) for k, row in enumerate(rows))
    return Sheet(Head(COLUMNS), tuple(lines))


@dataclass(frozen=True, slots=True)
class _CSV:
    """How a sheet is written as CSV."""

    sheet: Sheet

    def begin(self) -> bytes:
        head = self.sheet.head
        return csv_out.header(head.names, head.parted_by, marked=head.marked)

    def row(self, line: Line, row: Mapping[str, Any]) -> bytes:
        return csv_out.line(line.cells, row, self.sheet.head.parted_by)

    def end(self) -> bytes:
        return b""


@dataclass(frozen=True, slots=True)
class _JSON:
    """How a sheet is written as JSON: what the operation gives to all of its rows at once."""

    sheet: Sheet

    def begin(self) -> bytes:
        return b'{"version":' + orjson.dumps(version()) + b',"rows":['

    def row(self, line: Line, row: Mapping[str, Any]) -> bytes:
        return (b"" if line is self.sheet.lines[0] else b",") + orjson.dumps(row)

    def end(self) -> bytes:
        return b"]}"


async def _parts(
    request: Request, sheet: Sheet, work: Work, places: Places, form: _CSV | _JSON
) -> AsyncGenerator[bytes]:
    async def done(line: Line) -> bytes:
        return form.row(line, await _row(request, work, line))

    with places.held():
        yield form.begin()
        async for part in in_order(_each(sheet), done, work.settings.processes):
            yield part
        yield form.end()


async def _each(sheet: Sheet) -> AsyncIterator[Line]:
    for line in sheet.lines:
        yield line


async def _row(request: Request, work: Work, line: Line) -> dict[str, Any]:
    """One row: by a compute process, unless it is plain that there is nothing to compute."""
    if (idle := unworked(line)) is not None:
        return idle
    try:
        outcome = await work.one_of_many(request, alone(line.asked), ROWS)
    except Declined as declined:
        if declined.status < 500 and declined.errors:
            return refused(plain(line.asked), sentence(declined.errors, declined.count or 1))
        return unanswered(plain(line.asked), f"{declined.detail} Send this row again.")
    return worked(line, outcome.body)
