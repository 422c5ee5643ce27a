"""The HTTP protocol with what the server leaves out: clocks, bounds, strict framing, problems.

Without it a half-sent head stays open for ever, a client that never reads holds its answers here,
what two readers frame in two ways is answered, and bytes that are not HTTP get plain text.
"""

from __future__ import annotations

import asyncio
import re
import uuid
from http import HTTPStatus
from typing import Any, ClassVar, Final

from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

from service.api.guard import API_POLICY
from service.api.problems import MEDIA, Declined

HEAD_SECONDS: Final = 10.0
BODY_SECONDS: Final = 15.0
"""For what the application does not read itself: it refuses a slow body sooner."""

UNHURRIED: Final = frozenset({"/v1/batches"})
"""Where the application reads a body as it gets to it, and has a clock of its own."""

LOOK_SECONDS: Final = 5.0
LEAST_TAKEN: Final = 16_384
"""What a client must take of its answers in each LOOK_SECONDS, if so much is left."""

HEAD_BYTES: Final = 65_536
"""A guard on memory; the application refuses a complete head at a smaller size."""

MOST_HEADERS: Final = 100

_LENGTH: Final = re.compile(rb"[0-9]{1,18}")
_HOSTS: Final = {"1.0": (0, 1), "1.1": (1,)}
"""How many hosts a request may name, by the version that it speaks."""

_HOST: Final = re.compile(rb"([A-Za-z0-9._~-]+|\[[0-9A-Fa-f:.]+\])(:[0-9]{0,5})?")


class _Unsound(Exception):
    """The head can be read in more than one way; the parser turns it into a 400."""


class GuardedHttp(HttpToolsProtocol):
    """One connection."""

    most_connections: ClassVar[int] = 2_000
    """Of one server process."""

    def __init__(self, *args: Any, **keywords: Any) -> None:
        super().__init__(*args, **keywords)
        self._clock: asyncio.TimerHandle | None = None
        self._look: asyncio.TimerHandle | None = None
        self._unsent = 0
        self._in_head = True
        self._head_size = 0

    def connection_made(
        self,
        transport: asyncio.Transport,  # type: ignore[override]  # as narrow as its base has it
    ) -> None:
        """Begin to wait for the first head; refuse where there are too many connections."""
        super().connection_made(transport)
        self._look = self.loop.call_later(LOOK_SECONDS, self._look_at_client)
        if len(self.connections) > self.most_connections:
            again = {"Retry-After": "1"}
            self._refuse(Declined("Busy", "Too many connections are open.", headers=again))
        else:
            self._wait(HEAD_SECONDS)

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget the clocks."""
        self._stop_waiting()
        if self._look is not None:
            self._look.cancel()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Count what has come of a head that is not complete."""
        if self.transport.is_closing():
            return
        super().data_received(data)
        if self._in_head and not self.transport.is_closing():
            self._head_size += len(data)
            if self._head_size > HEAD_BYTES:
                self._refuse(Declined("HeadTooLarge", f"A head may have {HEAD_BYTES} bytes."))
        if self._clock is None and (self.cycle is None or self.cycle.response_complete):
            self._wait(HEAD_SECONDS)  # what came stopped the library's clock and began nothing

    def on_message_begin(self) -> None:
        """A further head begins."""
        super().on_message_begin()
        self._in_head = True
        self._head_size = 0
        self._wait(HEAD_SECONDS)

    def on_header(self, name: bytes, value: bytes) -> None:
        """Take one header; one that comes after the body would change a head that was read."""
        if not self._in_head or len(self.headers) >= MOST_HEADERS:
            raise _Unsound
        super().on_header(name, value)

    def on_headers_complete(self) -> None:
        """The head has come: refuse it if another reader might frame it otherwise."""
        _check_framing(self.headers, self.parser.get_http_version())
        if self.parser.should_upgrade() and _has_body(self.headers):
            raise _Unsound  # the parser would take the body for the other protocol
        self._in_head = False
        self._wait(BODY_SECONDS)
        super().on_headers_complete()
        if self.scope["path"] in UNHURRIED:
            self._stop_waiting()
        if self.parser.should_upgrade():
            self.cycle.keep_alive = False

    def on_message_complete(self) -> None:
        """The whole request has come."""
        self._stop_waiting()
        super().on_message_complete()

    def send_400_response(self, msg: str) -> None:
        """Answer bytes that are not HTTP with a problem."""
        self._refuse(Declined("BadRequest", "The bytes received are not a sound HTTP request."))

    def _wait(self, seconds: float) -> None:
        """Give the client so long from now."""
        self._stop_waiting()
        self._clock = self.loop.call_later(seconds, self._late, seconds)

    def _stop_waiting(self) -> None:
        if self._clock is not None:
            self._clock.cancel()
            self._clock = None

    def _late(self, seconds: float) -> None:
        self._clock = None
        if not self.transport.is_closing():
            self._refuse(Declined("TooSlow", f"Head and body must each arrive in {seconds:g} s."))

    def _look_at_client(self) -> None:
        """Cut off a client that does not take what it asked for."""
        left = self.transport.get_write_buffer_size()
        if self._unsent - left < min(LEAST_TAKEN, self._unsent):
            self.transport.abort()
            return
        self._unsent = left
        self._look = self.loop.call_later(LOOK_SECONDS, self._look_at_client)

    def _refuse(self, declined: Declined) -> None:
        """Answer and close; only close where an answer is under way or still owed."""
        if not self.pipeline and (
            self.cycle is None or not self.cycle.response_started or self.cycle.response_complete
        ):
            self.transport.write(_written(declined))
        self.transport.close()


def _check_framing(headers: list[tuple[bytes, bytes]], version: str) -> None:
    """Raise _Unsound unless there is one way to tell where the request ends and whom it is for."""
    lengths = [value for name, value in headers if name == b"content-length"]
    codings = [value for name, value in headers if name == b"transfer-encoding"]
    hosts = [value for name, value in headers if name == b"host"]
    if len(lengths) + len(codings) > 1 or not all(map(_LENGTH.fullmatch, lengths)):
        raise _Unsound
    if codings and (codings[0].lower() != b"chunked" or version != "1.1"):
        raise _Unsound
    if len(hosts) not in _HOSTS.get(version, ()) or not all(map(_HOST.fullmatch, hosts)):
        raise _Unsound


def _has_body(headers: list[tuple[bytes, bytes]]) -> bool:
    return any(name in (b"content-length", b"transfer-encoding") for name, _ in headers)


def _written(declined: Declined) -> bytes:
    name = str(uuid.uuid4())
    body = declined.body(name)
    more = "".join(f"{key.lower()}: {value}\r\n" for key, value in declined.headers.items())
    head = (
        f"HTTP/1.1 {declined.status} {HTTPStatus(declined.status).phrase}\r\n"
        f"content-type: {MEDIA}\r\ncontent-length: {len(body)}\r\nx-request-id: {name}\r\n"
        "x-content-type-options: nosniff\r\ncache-control: no-store\r\n"
        f"content-security-policy: {API_POLICY}\r\n{more}connection: close\r\n\r\n"
    )
    return head.encode() + body
