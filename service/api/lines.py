"""The lines of a body as they come: no more is read than is worked at, and each has its limit.

A client that sends everything before it takes an answer is read on all the same, up to what a
batch may have: it would wait for us and we for it.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator, Callable
from typing import Any, Final, TypeAlias

from starlette.types import Receive

from service.api.problems import Declined
from service.api.settings import Settings

_AHEAD_BYTES: Final = 1_000_000
"""What is read ahead of the work; a line may be as large."""
_LOOK_SECONDS: Final = 0.25
_BLANK: Final = b" \t\r"

Line: TypeAlias = bytes | Declined
"""A line, or why there is none."""


class Lines:
    """What has come of a batch and is not yet worked at."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._kept: asyncio.Queue[Line | None] = asyncio.Queue()
        self._held = 0
        self._room = asyncio.Event()
        self._open = b""
        self._is_long = False
        self._bytes = 0
        self._count = 0
        self._is_read = False

    async def each(self) -> AsyncGenerator[Line]:
        """The lines, in their order. Raises Declined where there is none at all."""
        while (line := await self._kept.get()) is not None:
            if isinstance(line, bytes):
                self._held -= len(line)
                self._room.set()
            yield line
        if self._count == 0:
            raise Declined("ShapeRefused", "The batch has no line: send a job on each.",
                           errors=[{"code": "no-lines", "detail": "there is no line"}])  # fmt: skip

    async def watch(self, receive: Receive, is_stuck: Callable[[], bool]) -> None:
        """Take in the lines, then wait until the client has left."""
        try:
            while not self._is_read:
                await self._until_there_is_room(is_stuck)
                async with asyncio.timeout(self._settings.body_seconds):
                    message = await receive()
                if message["type"] == "http.disconnect":
                    return
                self._take(message)
        except TimeoutError:
            seconds = f"{self._settings.body_seconds:g}"
            self._end(Declined("TooSlow", f"Nothing more of the batch came within {seconds} s."))
        while (await receive())["type"] != "http.disconnect":
            pass

    async def _until_there_is_room(self, is_stuck: Callable[[], bool]) -> None:
        while self._held >= _AHEAD_BYTES and not is_stuck():
            self._room.clear()
            try:
                async with asyncio.timeout(_LOOK_SECONDS):
                    await self._room.wait()
            except TimeoutError:
                continue

    def _take(self, message: dict[str, Any] | Any) -> None:
        chunk = message.get("body", b"")
        self._bytes += len(chunk)
        if self._bytes > self._settings.batch_bytes:
            self._end(too_many_bytes(self._settings.batch_bytes))
            return
        *whole, rest = chunk.split(b"\n")
        for part in whole:
            self._add(part)
            self._close()
        self._add(rest)
        if not message.get("more_body", False):
            self._close()
            self._end()

    def _add(self, part: bytes) -> None:
        """Add to the line that is open; of one that is too long nothing is kept."""
        self._is_long |= len(self._open) + len(part) > self._settings.body_bytes
        self._open = b"" if self._is_long else self._open + part

    def _close(self) -> None:
        line, long = self._open.strip(_BLANK), self._is_long
        self._open, self._is_long = b"", False
        if self._is_read or not (line or long):
            return
        self._count += 1
        if self._count > self._settings.batch_lines:
            self._end(_too_many(self._settings.batch_lines))
        elif long:
            self._kept.put_nowait(_too_long(self._settings.body_bytes))
        else:
            self._held += len(line)
            self._kept.put_nowait(line)

    def _end(self, why: Declined | None = None) -> None:
        """No more is read; what is at hand is still answered."""
        if self._is_read:
            return
        self._is_read = True
        if why is not None:
            self._count += 1
            self._kept.put_nowait(why)
        self._kept.put_nowait(None)


def too_many_bytes(most: int) -> Declined:
    """The problem of a batch that is too large."""
    return Declined("TooLarge", f"A batch may have at most {most} bytes: send it in parts.")


def _too_long(most: int) -> Declined:
    return Declined("TooLarge", f"A line may have at most {most} bytes.")


def _too_many(most: int) -> Declined:
    detail = f"A batch may have at most {most} lines: send those from here on in another."
    return Declined("LimitExceeded", detail, errors=[{"code": "over-limit", "detail": detail}])
