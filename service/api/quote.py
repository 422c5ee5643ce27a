"""The quote page: sketch a surface, choose boards, see what it takes. Served at /quote.

It asks the service as any caller does and keeps nothing; its own files are all that it loads.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path
from typing import Final

from fastapi import APIRouter, Request, Response

from service.api.catalogue import unchanged_or
from service.api.settings import Settings

_ASSETS: Final = Path(__file__).parent / "assets"
_FILES: Final = {
    "/quote/quote.css": ("quote.css", "text/css"),
    "/quote/quote.js": ("quote.js", "text/javascript"),
}


def policy(frame_ancestors: Sequence[str]) -> str:
    """The content policy of the page, which only these origins may show in a frame."""
    framed = " ".join(frame_ancestors) or "'none'"
    return (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
        "connect-src 'self'; base-uri 'none'; form-action 'none'; "
        "require-trusted-types-for 'script'; trusted-types 'none'; "
        f"frame-ancestors {framed}"
    )


def router(settings: Settings, forms: Collection[str]) -> APIRouter:
    """The page and its files; it offers to save the answer in these forms."""
    page = (_ASSETS / "quote.html").read_text(encoding="utf-8")
    page = page.replace("{forms}", " ".join(forms))
    page = page.replace("{keyed}", "yes" if settings.keys else "no")
    routes = APIRouter()
    framed = policy(settings.frame_ancestors)
    _serve(routes, "/quote", page.encode(), "text/html", framed)
    for path, (name, media) in _FILES.items():
        _serve(routes, path, (_ASSETS / name).read_bytes(), media, framed)
    return routes


def _serve(routes: APIRouter, path: str, body: bytes, media: str, policy: str) -> None:
    @routes.get(path, include_in_schema=False)
    async def asset(request: Request) -> Response:
        response = unchanged_or(request, body, media)
        response.headers["Content-Security-Policy"] = policy
        return response
