"""The interactive documentation: every file of it is served from here, under a strict policy.

The large ones, which read the document, come with a package of the lock; none of its code runs.
"""

from __future__ import annotations

from importlib.metadata import distribution
from pathlib import Path
from typing import Final

from fastapi import APIRouter, Request, Response

from service.api.catalogue import unchanged_or

_ASSETS: Final = Path(__file__).parent / "assets"
POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_BUNDLE: Final = Path(str(distribution("fastapi-offline").locate_file("fastapi_offline/static")))
_FILES: Final = {
    "/docs": (_ASSETS / "docs.html", "text/html"),
    "/docs/start.js": (_ASSETS / "start.js", "text/javascript"),
    "/docs/page.css": (_ASSETS / "page.css", "text/css"),
    "/docs/swagger-ui-bundle.js": (_BUNDLE / "swagger-ui-bundle.js", "text/javascript"),
    "/docs/swagger-ui.css": (_BUNDLE / "swagger-ui.css", "text/css"),
    "/docs/swagger-ui.LICENSE.txt": (_ASSETS / "swagger-ui.LICENSE.txt", "text/plain"),
}


def router() -> APIRouter:
    """The page at /docs and its files."""
    routes = APIRouter()
    for path, (file, media) in _FILES.items():
        _serve(routes, path, file.read_bytes(), media)
    return routes


def _serve(routes: APIRouter, path: str, body: bytes, media: str) -> None:
    @routes.get(path, include_in_schema=False)
    async def asset(request: Request) -> Response:
        response = unchanged_or(request, body, media)
        response.headers["Content-Security-Policy"] = POLICY
        return response
