"""A page for each problem type, at the address that is its `type`."""

from __future__ import annotations

from html import escape
from typing import Final

from fastapi import APIRouter, Request, Response

from service.api.catalogue import unchanged_or
from service.api.problems import TABLE, ProblemType

_POLICY: Final = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
_PAGE: Final = """<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>{title}</title></head>
<body><main>
<h1>{title}</h1>
<p>Problem type <code>{type}</code>, HTTP status {status}.</p>
<p>{meaning}</p>
<p>Where single places of a request are at fault, <code>errors</code> of the problem names each of
them with a <code>code</code>; <a href="/v1/codes">/v1/codes</a> says what each code means.</p>
</main></body>
</html>
"""


def router() -> APIRouter:
    """The pages."""
    routes = APIRouter()
    for kind in TABLE.values():
        _serve(routes, kind)
    return routes


def page(kind: ProblemType) -> bytes:
    """The page of one problem type."""
    said = {"title": kind.title, "type": kind.type, "status": str(kind.status)}
    said["meaning"] = kind.meaning
    return _PAGE.format(**{key: escape(value) for key, value in said.items()}).encode()


def _serve(routes: APIRouter, kind: ProblemType) -> None:
    body = page(kind)

    @routes.get(kind.type, include_in_schema=False)
    async def shown(request: Request) -> Response:
        response = unchanged_or(request, body, "text/html")
        response.headers["Content-Security-Policy"] = _POLICY
        return response
