"""GET /v1/rectangle.csv and .txt: one room from plain parameters, for the functions of a cell.

A spreadsheet shows nothing of an answer that is no 200, so a room that is refused is answered with
the reason, as in a sheet of rooms.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from inspect import Parameter, Signature
from typing import Annotated, Any, Final

import orjson
from fastapi import APIRouter, Query, Request, Response

from service.api import accept
from service.api.catalogue import unchanged_or
from service.api.keys import CELL_KEY
from service.api.problems import Declined
from service.api.rows import ROWS
from service.api.work import Work
from service.compute import CSV, TEXT
from service.rows import csv_out
from service.rows.jobs import alone, sentence
from service.rows.results import refused
from service.schemas.rooms import COLUMNS, MOST_CHARACTERS, RESULTS, RoomAsked

PATH: Final = "/v1/rectangle"
_USUAL: Final = "sticks"

_ANSWER: Final = Annotated[
    str | None,
    Query(
        description=f"Which figure of the room is answered. Default: {_USUAL}.",
        max_length=32,
        json_schema_extra={"enum": list(RESULTS)},
    ),
]
_HEADER: Final = Annotated[
    str | None,
    Query(
        description="Whether the names of the figures stand above them. Default: present.",
        max_length=8,
        json_schema_extra={"enum": ["present", "absent"]},
    ),
]
_KEY: Final = Annotated[
    str | None,
    Query(
        description="A key for cells, where the operator has set keys: a cell function can send no "
        "header. It is good for this address alone, and stays in it wherever that is kept.",
        max_length=128,
    ),
]


def router(work: Work) -> APIRouter:
    """The routes, over where their work is done."""
    routes = APIRouter()
    for name, told, made, own in (
        ("csv", "its figures as two rows", _as_csv, {"header": _HEADER, CELL_KEY: _KEY}),
        ("txt", "one figure of it", _as_text, {"answer": _ANSWER, CELL_KEY: _KEY}),
    ):
        routes.add_api_route(
            f"{PATH}.{name}", _endpoint(work, made, own), methods=["GET"],
            operation_id=f"takeOffRectangleAs{name.title()}", tags=["rows"], response_model=None,
            summary=f"Take off one room, {told}",
            description="For a cell function such as WEBSERVICE or IMPORTDATA: the columns of a "
            "sheet of rooms as parameters. A room that is refused is answered with `refused` and "
            "the reason.",
        )  # fmt: skip
    return routes


def _endpoint(
    work: Work,
    made: Callable[[Mapping[str, Any], Mapping[str, Any]], tuple[str, str]],
    own: Mapping[str, Any],
) -> Callable[..., Any]:
    async def take_off(request: Request, **sent: Any) -> Response:
        _, media = made({}, sent)
        accept.choose(request.headers.get("accept"), None, (media,))
        if request.scope.get("head"):
            return Response(media_type=media)
        cells = {name: sent[name] for name in COLUMNS if sent[name] is not None}
        text, media = made(await _row(request, work, cells), sent)
        return unchanged_or(request, text.encode(), media)

    # The framework reads parameters from the signature; here they are data.
    take_off.__signature__ = _signature(own)  # type: ignore[attr-defined]  # it has one
    return take_off


def _signature(own: Mapping[str, Any]) -> Signature:
    asked = {
        name: Annotated[
            str | None,
            Query(description=RoomAsked.model_fields[name].description, max_length=MOST_CHARACTERS),
        ]
        for name in COLUMNS
    }
    parameters = [Parameter("request", Parameter.POSITIONAL_OR_KEYWORD, annotation=Request)]
    for name, kind in {**own, **asked}.items():
        parameters.append(Parameter(name, Parameter.KEYWORD_ONLY, default=None, annotation=kind))
    return Signature(parameters)


async def _row(request: Request, work: Work, cells: Mapping[str, str]) -> Mapping[str, Any]:
    try:
        outcome = await work.asked(request, alone(cells), ROWS)
    except Declined as declined:
        if declined.name not in ("ShapeRefused", "MalformedJson"):
            raise
        return refused(cells, sentence(declined.errors, declined.count or 1))
    (row,) = orjson.loads(outcome.body)["rows"]
    found: Mapping[str, Any] = row
    return found


def _as_csv(row: Mapping[str, Any], sent: Mapping[str, Any]) -> tuple[str, str]:
    if sent["header"] not in (None, "present", "absent"):
        raise _unfit("header is present or absent.")
    page = csv_out.line((), row) if row else b""
    if sent["header"] != "absent":
        page = csv_out.header(()) + page
    return page.decode(), CSV


def _as_text(row: Mapping[str, Any], sent: Mapping[str, Any]) -> tuple[str, str]:
    name = sent["answer"] or _USUAL
    if name not in RESULTS:
        raise _unfit(f"answer is one of {', '.join(RESULTS)}.")
    if row and row["status"] != "ok" and name != "status":
        return f"{row['status']}: {row['error'] or 'no cell is filled'}", TEXT
    value = row.get(name)
    return csv_out.safe("" if value is None else str(value)), TEXT


def _unfit(detail: str) -> Declined:
    errors = [{"code": "parameter", "detail": detail}]
    return Declined("ShapeRefused", detail, errors=errors)
