"""The HTTP protocol with what the server leaves out: a clock and a bound on heads, and problems.

Without it a half-sent head stays open for ever, and bytes that are not HTTP get plain text.
"""

from __future__ import annotations

import asyncio
import uuid
from http import HTTPStatus
from typing import Any, Final

from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

from service.api.guard import API_POLICY
from service.api.problems import MEDIA, Declined

HEAD_SECONDS: Final = 10.0
HEAD_BYTES: Final = 65_536
"""A guard on memory; the application refuses a complete head at a smaller size."""


class GuardedHttp(HttpToolsProtocol):
    """One connection."""

    def __init__(self, *args: Any, **keywords: Any) -> None:
        super().__init__(*args, **keywords)
        self._head_clock: asyncio.TimerHandle | None = None
        self._in_head = True
        self._head_size = 0

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait for the first head."""
        super().connection_made(transport)
        self._start_clock()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget the clock."""
        self._stop_clock()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Count what has come of a head that is not complete."""
        super().data_received(data)
        if self._in_head and not self.transport.is_closing():
            self._head_size += len(data)
            if self._head_size > HEAD_BYTES:
                self._refuse(Declined("HeadTooLarge", f"A head may have {HEAD_BYTES} bytes."))

    def on_message_begin(self) -> None:
        """A further head begins."""
        super().on_message_begin()
        self._in_head = True
        self._head_size = 0
        self._start_clock()

    def on_headers_complete(self) -> None:
        """The head has come."""
        self._in_head = False
        self._stop_clock()
        super().on_headers_complete()

    def send_400_response(self, msg: str) -> None:
        """Answer bytes that are not HTTP with a problem."""
        self._refuse(Declined("BadRequest", "The bytes received are not a sound HTTP request."))

    def _start_clock(self) -> None:
        if self._head_clock is None:
            self._head_clock = self.loop.call_later(HEAD_SECONDS, self._late)

    def _stop_clock(self) -> None:
        if self._head_clock is not None:
            self._head_clock.cancel()
            self._head_clock = None

    def _late(self) -> None:
        self._head_clock = None
        if not self.transport.is_closing():
            self._refuse(Declined("TooSlow", f"A head must arrive within {HEAD_SECONDS:g} s."))

    def _refuse(self, declined: Declined) -> None:
        """Answer and close; only close where an earlier request's answer is under way."""
        if self.cycle is None or not self.cycle.response_started or self.cycle.response_complete:
            self.transport.write(_written(declined))
        self.transport.close()


def _written(declined: Declined) -> bytes:
    name = str(uuid.uuid4())
    body = declined.body(name)
    head = (
        f"HTTP/1.1 {declined.status} {HTTPStatus(declined.status).phrase}\r\n"
        f"content-type: {MEDIA}\r\ncontent-length: {len(body)}\r\nx-request-id: {name}\r\n"
        "x-content-type-options: nosniff\r\ncache-control: no-store\r\n"
        f"content-security-policy: {API_POLICY}\r\nconnection: close\r\n\r\n"
    )
    return head.encode() + body
