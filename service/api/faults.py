"""The framework's own errors, turned into problems of the one table."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from service.api.guard import request_id
from service.api.problems import MEDIA, MOST_ERRORS, Declined

_NAMES = {404: "NotFound", 405: "MethodNotAllowed", 400: "BadRequest", 413: "TooLarge"}


def install(app: FastAPI) -> None:
    """Answer every error of `app` with a problem."""
    app.add_exception_handler(Declined, _declined)
    app.add_exception_handler(HTTPException, _framework)
    app.add_exception_handler(RequestValidationError, _parameters)


async def refuse_unknown_parameters(request: Request) -> None:
    """A dependency of every /v1 route: a misspelt parameter must not be passed over in silence.

    Raises Declined (422) for a query parameter that the route does not have, or one given twice.
    """
    declared = {field.alias for field in request.scope["route"].dependant.query_params}
    given = [name for name, _ in request.query_params.multi_items()]
    if all(name in declared for name in given) and len(set(given)) == len(given):
        return
    known = ", ".join(sorted(declared)) or "none"
    raise Declined(
        "ShapeRefused",
        f"A query parameter is unknown or given twice; this resource has: {known}.",
        errors=[{"code": "parameter", "detail": f"The parameters are: {known}."}],
    )


async def _declined(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, Declined)
    return _problem(request, fault)


async def _framework(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    name = _NAMES.get(fault.status_code, "BadRequest" if fault.status_code < 500 else "Escaped")
    headers = dict(fault.headers or {})
    if "Allow" in headers:
        headers["Allow"] = _allowed(headers["Allow"])
    detail = {
        "NotFound": "No resource has this path. `/` says what is where.",
        "MethodNotAllowed": f"This resource has: {headers.get('Allow', '')}.",
    }.get(name, "The request cannot be read.")
    return _problem(request, Declined(name, detail, headers=headers))


def _allowed(methods: str) -> str:
    """The methods in a fixed order; the guard answers HEAD wherever there is GET."""
    names = {name.strip() for name in methods.split(",")}
    return ", ".join(sorted(names | ({"HEAD"} if "GET" in names else set())))


async def _parameters(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, RequestValidationError)
    faults = list(fault.errors())
    if any(error["loc"][0] == "path" for error in faults):
        return _problem(request, Declined("NotFound", "No resource has this path."))
    errors = [_row(error) for error in faults[:MOST_ERRORS]]
    return _problem(
        request,
        Declined("ShapeRefused", errors[0]["detail"], errors=errors, count=len(faults)),
    )


def _row(error: Mapping[str, Any]) -> dict[str, Any]:
    """One fault of a parameter, without the value that was sent."""
    name = error["loc"][-1]
    return {"code": "parameter", "detail": f"Query parameter `{name}`: {error['msg']}."}


def _problem(request: Request, declined: Declined) -> Response:
    request.scope["problem"] = declined.name
    body = declined.body(request_id(request.scope))
    return Response(body, declined.status, headers=declined.headers, media_type=MEDIA)
