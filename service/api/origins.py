"""Pages of other origins that may ask (CORS, of the Fetch standard): none unless it is set."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from starlette.datastructures import Headers
from starlette.middleware.cors import CORSMiddleware
from starlette.responses import Response
from starlette.types import ASGIApp

from service.api.problems import Declined

_METHODS: Final = ("GET", "HEAD", "POST")
_SENT: Final = ("Authorization", "Content-Type", "If-None-Match", "X-Request-Id", "traceparent")
_SEEN: Final = (
    "Content-Disposition", "ETag", "RateLimit", "RateLimit-Policy", "Retry-After",
    "WWW-Authenticate", "X-Request-Id",
)  # fmt: skip
_WHY: Final = {
    "origin": "Pages of this origin may not ask: the operator lists those that may.",
    "method": f"A page may send {', '.join(_METHODS)}.",
    "headers": f"Of headers that need leave a page may send {', '.join(_SENT)}.",
}


class Origins(CORSMiddleware):
    """The library's own, whose refusals are problems."""

    def __init__(self, app: ASGIApp, allowed: Sequence[str]) -> None:
        super().__init__(
            app, allow_origins=allowed, allow_methods=_METHODS, allow_headers=_SENT,
            expose_headers=_SEEN, max_age=7200,
        )  # fmt: skip

    def preflight_response(self, request_headers: Headers) -> Response:
        """Whether a page may ask as it is about to. Raises Declined (403)."""
        answer = super().preflight_response(request_headers)
        if answer.status_code == 200:
            return Response(status_code=204, headers=_without_body(answer))
        told = bytes(answer.body).decode()
        why = " ".join(sentence for name, sentence in _WHY.items() if name in told)
        raise Declined("OriginRefused", why or "It may not ask.", headers={"Vary": "Origin"})


def _without_body(answer: Response) -> dict[str, str]:
    return {
        name: value
        for name, value in answer.headers.items()
        if name not in ("content-length", "content-type")
    }
