"""What is where: the page at /, as HTML for people and JSON for programs.

Relations are the registered ones (RFC 8631, RFC 8288); they stand in the Link header too.
"""

from __future__ import annotations

import json
from typing import Final

from fastapi import APIRouter, Request, Response

from service import __version__
from service.api import accept
from service.api.catalogue import unchanged_or
from service.api.settings import Settings
from service.compute import JSON

_HTML: Final = "text/html"
_PAGE: Final = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Surface takeoff</title>
<link rel="icon" href="data:,">
</head>
<body>
<main>
<h1>Surface takeoff {version}</h1>
<p>From the measure of a boarded surface to everything that it takes.</p>
<ul>
{links}
</ul>
</main>
</body>
</html>
"""
_POLICY: Final = "default-src 'none'; img-src data:; base-uri 'none'; frame-ancestors 'none'"


def router(settings: Settings) -> APIRouter:
    """The page, with what these settings serve."""
    links = _links(settings)
    bodies = {JSON: _as_json(links), _HTML: _as_html(links)}
    told = ", ".join(f'<{path}>; rel="{rel}"' for path, rel, _ in links if rel != "item")
    routes = APIRouter()

    @routes.get("/", include_in_schema=False)
    async def index(request: Request) -> Response:
        media = accept.choose(request.headers.get("accept"), None, (JSON, _HTML))
        response = unchanged_or(request, bodies[media], media)
        response.headers.update(
            {"Link": told, "Vary": "Accept", "Content-Security-Policy": _POLICY}
        )
        return response

    return routes


def _links(settings: Settings) -> list[tuple[str, str, str]]:
    """Path, relation and title of each, in the order in which they are needed."""
    pages = [("/quote", "item", "Sketch a surface and quote it")] if settings.quote else []
    docs = [("/docs", "service-doc", "How to ask, with examples to try")] if settings.docs else []
    return [
        *pages,
        *docs,
        ("/openapi.json", "service-desc", "The contract (OpenAPI 3.1)"),
        ("/v1/rows/template.csv", "item", "A sheet of rooms to begin with"),
        ("/v1/kinds", "item", "Kinds of layer"),
        ("/v1/tables", "item", "Published tables and defaults in use"),
        ("/v1/rules", "item", "Rules of the trade that answers cite"),
        ("/v1/codes", "item", "Problems, and codes of faults and findings"),
        ("/health/ready", "status", "Whether work can be taken"),
    ]


def _as_json(links: list[tuple[str, str, str]]) -> bytes:
    rows = [{"href": path, "rel": rel, "title": title} for path, rel, title in links]
    told = {"title": "Surface takeoff", "version": __version__, "links": rows}
    return json.dumps(told, separators=(",", ":")).encode()


def _as_html(links: list[tuple[str, str, str]]) -> bytes:
    rows = (f'<li><a href="{path}">{title}</a></li>' for path, _, title in links)
    return _PAGE.format(version=__version__, links="\n".join(rows)).encode()
