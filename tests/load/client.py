"""A small HTTP client for many connections in one thread; it costs little of what it measures."""

from __future__ import annotations

import asyncio
import itertools
import time
from collections.abc import Iterable
from dataclasses import dataclass, field

PATH = "/v1/takeoffs"


@dataclass(frozen=True, slots=True)
class Answer:
    """How one request ended. Status 0: the connection broke before a whole answer had come."""

    status: int
    seconds: float
    body: bytes = b""
    can_retry: bool = False


TYPES = {"/v1/batches": "application/x-ndjson", "/v1/rows.csv": "text/csv"}
"""What is sent there; elsewhere it is JSON."""


@dataclass
class Door:
    """Where the service listens, and the connections to it that are free."""

    host: str
    port: int
    free: list[tuple[asyncio.StreamReader, asyncio.StreamWriter]] = field(default_factory=list)

    async def ask(self, body: bytes, path: str = PATH) -> Answer:
        """Send one job and wait for the whole answer."""
        began = time.monotonic()
        try:
            async with asyncio.timeout(30):
                return await self._asked(body, path, began)
        except (OSError, EOFError, TimeoutError, asyncio.IncompleteReadError):
            return Answer(0, time.monotonic() - began)

    async def _asked(self, body: bytes, path: str, began: float) -> Answer:
        reader, writer = await self._connected()
        media = TYPES.get(path, "application/json")
        writer.write(
            f"POST {path} HTTP/1.1\r\nHost: {self.host}\r\nContent-Type: {media}\r\n"
            f"Content-Length: {len(body)}\r\n\r\n".encode()
            + body
        )
        head = (await reader.readuntil(b"\r\n\r\n")).lower()
        said = await _body(reader, head)
        if b"connection: close" in head:
            writer.close()
        else:
            self.free.append((reader, writer))
        retry = b"retry-after: " in head
        return Answer(int(head[9:12]), time.monotonic() - began, said, retry)

    async def _connected(self) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        while self.free:
            reader, writer = self.free.pop()
            if not reader.at_eof():
                return reader, writer
            writer.close()
        return await asyncio.open_connection(self.host, self.port)

    def close(self) -> None:
        """Let go of every connection."""
        for _, writer in self.free:
            writer.close()
        self.free.clear()


async def _body(reader: asyncio.StreamReader, head: bytes) -> bytes:
    """The whole body, which comes in chunks where the head says no length."""
    if b"content-length: " in head:
        return await reader.readexactly(int(head.split(b"content-length: ")[1].split(b"\r\n")[0]))
    said = b""
    while size := int(await reader.readuntil(b"\r\n"), 16):
        said += await reader.readexactly(size)
        await reader.readexactly(2)
    await reader.readexactly(2)
    return said


async def in_turn(
    door: Door, body: bytes, seconds: float, clients: int, path: str = PATH
) -> list[Answer]:
    """`clients` of them, each sending its next request when the last was answered."""
    until = time.monotonic() + seconds

    async def one() -> list[Answer]:
        answers = []
        while time.monotonic() < until:
            answers.append(await door.ask(body, path))
            if answers[-1].status != 200:
                await asyncio.sleep(0.05)
        return answers

    return list(itertools.chain(*await asyncio.gather(*(one() for _ in range(clients)))))


async def at_rate(door: Door, body: bytes, seconds: float, rate: float) -> list[Answer]:
    """`rate` requests a second, sent when they are due, whatever became of those before."""
    began = time.monotonic()
    asked: list[asyncio.Task[Answer]] = []
    for number in range(int(seconds * rate)):
        wait = began + number / rate - time.monotonic()
        if wait > 0:
            await asyncio.sleep(wait)
        asked.append(asyncio.ensure_future(door.ask(body)))
    return list(await asyncio.gather(*asked))


def quantile(answers: Iterable[Answer], share: float, status: int = 200) -> float:
    """The time in which `share` of the answers with this status had come, in seconds."""
    times = sorted(one.seconds for one in answers if one.status == status)
    return times[min(len(times) - 1, int(len(times) * share))] if times else float("nan")
