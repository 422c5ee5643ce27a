"""The outermost layer: request id, security headers, HEAD, problems for what escapes, the log line.

Pure ASGI: it costs about a microsecond, where the framework's own base class costs eighty.
"""

from __future__ import annotations

import asyncio
import logging
import re
import time
import uuid
from typing import Any, Final

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.logs import REQUESTS, where
from service.api.metrics import Metrics
from service.api.problems import MEDIA, TABLE, Declined
from service.api.settings import Settings

_LOG: Final = logging.getLogger("service.api")
_REQUEST_ID: Final = re.compile(rb"[A-Za-z0-9._-]{1,64}")
_LINGER_SECONDS: Final = 1.0
_LINGER_BYTES: Final = 8_000_000

_QUIET: Final = ("/health/", "/metrics")
"""What is asked again and again; it gets a line only when something is wrong."""

API_POLICY: Final = "default-src 'none'; frame-ancestors 'none'"
_ALWAYS: Final = (
    (b"content-security-policy", API_POLICY.encode()),
    (b"cache-control", b"no-store"),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-resource-policy", b"same-origin"),
)


def request_id(scope: Scope) -> str:
    """The id of the request in `scope`, as the guard set it."""
    return str(scope["request_id"])


class Guard:
    """Wraps the application; see the module."""

    def __init__(self, app: ASGIApp, settings: Settings, metrics: Metrics) -> None:
        self._app = app
        self._settings = settings
        self._metrics = metrics

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one connection event; only HTTP is guarded."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        inner = dict(scope)
        exchange = _Exchange(inner, receive, send, self._settings.body_bytes)
        try:
            await self._answered(scope, inner, exchange)
        finally:
            self._note(inner, exchange)

    async def _answered(self, scope: Scope, inner: Scope, exchange: _Exchange) -> None:
        try:
            self._check_head(scope)
            await self._app(inner, exchange.receive, exchange.send)
        except Declined as declined:
            await exchange.decline(declined)
        except Exception as fault:
            _LOG.error("request %s escaped: %s", exchange.id, where(fault))
            await exchange.decline(Declined("Escaped", "The service failed on this request."))

    def _note(self, scope: Scope, exchange: _Exchange) -> None:
        """Count the request and log its line: who, what, how it ended; nothing of what was sent."""
        seconds = time.monotonic() - exchange.began
        method = "HEAD" if exchange.is_head else str(scope["method"])
        route = getattr(scope.get("route"), "path", "none")
        self._metrics.answered(method, route, exchange.status, seconds, exchange.sent)
        slug = TABLE[scope["problem"]].slug if "problem" in scope else None
        if slug is not None:
            self._metrics.problem(slug)
        if exchange.status < 300 and route.startswith(_QUIET):
            return
        line: dict[str, Any] = {
            "request": exchange.id, "method": method if method.isalpha() else "other",
            "route": route, "status": exchange.status, "ms": round(seconds * 1000, 1),
            "sent": exchange.sent, "problem": slug, "caller": scope.get("caller"),
            "lane": scope.get("lane"),
        }  # fmt: skip
        REQUESTS.info(
            "request", extra={key: value for key, value in line.items() if value is not None}
        )

    def _check_head(self, scope: Scope) -> None:
        size = len(scope.get("raw_path") or b"") + len(scope["query_string"])
        size += sum(len(name) + len(value) + 4 for name, value in scope["headers"])
        limit = self._settings.head_bytes
        if size > limit:
            raise Declined("HeadTooLarge", f"Request line and headers may have {limit} bytes.")


class _Exchange:
    """One request and its answer: what has been received and sent so far."""

    def __init__(self, scope: Scope, receive: Receive, send: Send, most: int) -> None:
        """Of `scope` the request id is set, and HEAD is turned into GET, and noted as `head`."""
        self.began = time.monotonic()
        self.status = 0
        self.sent = 0
        headers = dict(scope["headers"])
        given = headers.get(b"x-request-id", b"")
        self.id = given.decode() if _REQUEST_ID.fullmatch(given) else str(uuid.uuid4())
        self._receive = receive
        self._send = send
        self.is_head = scope["method"] == "HEAD"
        if self.is_head:
            scope["method"] = "GET"
            scope["head"] = True
        scope["request_id"] = self.id
        self._scope = scope
        declared = headers.get(b"content-length", b"0")
        over = len(declared) > 12 or int(declared or 0) > most
        self._endless = over or b"transfer-encoding" in headers
        self._received = False
        self._started = False
        self._lingers = False

    async def receive(self) -> Message:
        message = await self._receive()
        if message["type"] == "http.request" and not message.get("more_body", False):
            self._received = True
        return message

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self._started = True
            self.status = message["status"]
            message = dict(message, headers=self._headers(message))
        elif message["type"] == "http.response.body":
            if self.is_head:
                message = dict(message, body=b"")
            self.sent += len(message.get("body", b""))
            if self._lingers and not message.get("more_body", False):
                await self._send(dict(message, more_body=True))
                await self._linger()
                message = dict(message, body=b"")
        await self._send(message)

    def _headers(self, message: Message) -> list[tuple[bytes, bytes]]:
        headers = [(name.lower(), value) for name, value in message.get("headers", ())]
        present = {name for name, _ in headers}
        headers += [header for header in _ALWAYS if header[0] not in present]
        headers.append((b"x-request-id", self.id.encode()))
        quota: dict[str, str] = self._scope.get("quota", {})
        headers += [(name.lower().encode(), value.encode()) for name, value in quota.items()
                    if name.lower().encode() not in present]  # fmt: skip
        if self._endless and not self._received:
            self._lingers = True
            headers.append((b"connection", b"close"))
        return headers

    async def _linger(self) -> None:
        """Take in a little more of a refused body, so that the client gets to read the answer."""
        taken = 0
        try:
            async with asyncio.timeout(_LINGER_SECONDS):
                while taken <= _LINGER_BYTES and not self._received:
                    message = await self.receive()
                    if message["type"] != "http.request":
                        return
                    taken += len(message.get("body", b""))
        except TimeoutError:
            return

    async def decline(self, declined: Declined) -> None:
        """Answer with a problem, unless an answer has already begun."""
        if self._started:
            raise declined
        self._scope["problem"] = declined.name
        body = declined.body(self.id)
        headers = [(b"content-type", MEDIA.encode()), (b"content-length", b"%d" % len(body))]
        headers += [(name.lower().encode(), value.encode()) for name, value in
                    declined.headers.items()]  # fmt: skip
        await self.send(
            {"type": "http.response.start", "status": declined.status, "headers": headers}
        )
        await self.send({"type": "http.response.body", "body": body})
