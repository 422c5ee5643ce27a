"""Many jobs asked for together: worked at side by side, answered in their order as they are ready.

The client is watched all the while: when it leaves, what is at work is stopped and what waits is
dropped.
"""

from __future__ import annotations

import asyncio
import time
from collections import deque
from collections.abc import AsyncGenerator, AsyncIterator, Awaitable, Callable, Iterator, Mapping
from contextlib import aclosing, contextmanager
from typing import Final, TypeAlias, TypeVar

from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from service.api.problems import Declined

_Job = TypeVar("_Job")
_LEFT_SECONDS: Final = 1.0
"""How long work goes on after its client has left: a new process costs more than a short job."""
_STUCK_SECONDS: Final = 0.25
PART_BYTES: Final = 262_144
"""Of a large answer; to code so much takes two milliseconds."""

Watch: TypeAlias = Callable[[Receive, Callable[[], bool]], Awaitable[None]]
"""Takes what the client sends until it leaves, which ends it; it may ask whether the client lets
what it is sent lie."""


class Places:
    """How many may be answered in parts at once; each costs a connection and what it has sent."""

    def __init__(self, most: int, retry_after_seconds: int) -> None:
        self._left = most
        self._again = {"Retry-After": str(retry_after_seconds)}

    @contextmanager
    def held(self) -> Iterator[None]:
        """Hold one. Raises Declined (Busy) where none is free."""
        if self._left <= 0:
            raise Declined("Busy", "All places for batches and sheets are taken.",
                           headers=self._again)  # fmt: skip
        self._left -= 1
        try:
            yield
        finally:
            self._left += 1


async def in_order(
    jobs: AsyncIterator[_Job], work: Callable[[_Job], Awaitable[bytes]], most: int
) -> AsyncGenerator[bytes]:
    """What `work` makes of each job, in the order of the jobs; `most` are taken up at once."""
    begun: deque[asyncio.Task[bytes]] = deque()
    coming: asyncio.Task[_Job | None] | None = asyncio.create_task(_next(jobs))
    try:
        while coming is not None or begun:
            taken = coming if len(begun) < most else None
            await asyncio.wait({one for one in (taken, *list(begun)[:1]) if one is not None},
                               return_when=asyncio.FIRST_COMPLETED)  # fmt: skip
            if taken is not None and taken.done():
                job = taken.result()
                coming = None if job is None else asyncio.create_task(_next(jobs))
                if job is not None:
                    begun.append(asyncio.ensure_future(work(job)))
            while begun and begun[0].done():
                yield begun.popleft().result()
    finally:
        await _ended(*begun, *([coming] if coming is not None else []))


async def _next(jobs: AsyncIterator[_Job]) -> _Job | None:
    return await anext(jobs, None)


async def _ended(*tasks: asyncio.Task[bytes] | asyncio.Task[_Job | None]) -> None:
    """End what is still at work."""
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)


class InParts(Response):
    """An answer that is whole; a large one is sent in parts, and others get their turn between."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send it."""
        start = {"type": "http.response.start", "status": self.status_code}
        await send({**start, "headers": self.raw_headers})
        for at in range(0, len(self.body) or 1, PART_BYTES):
            part, more = self.body[at : at + PART_BYTES], at + PART_BYTES < len(self.body)
            await send({"type": "http.response.body", "body": part, "more_body": more})
            if more:
                await asyncio.sleep(0)


class Streamed(Response):
    """An answer that is sent part by part, from the first that is ready on.

    Until then it may still be Declined; afterwards only the parts can say what went wrong.
    """

    def __init__(
        self,
        parts: AsyncGenerator[bytes],
        media_type: str,
        headers: Mapping[str, str],
        watch: Watch | None = None,
    ) -> None:
        super().__init__(None, media_type=media_type, headers=headers)
        del self.headers["content-length"]
        self._parts = parts
        self._watch = watch or _watch
        self._since: float | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send the parts until they end or the client leaves."""
        sending = asyncio.ensure_future(self._send(send))
        watching = asyncio.ensure_future(self._watch(receive, self._is_stuck))
        try:
            await asyncio.wait({sending, watching}, return_when=asyncio.FIRST_COMPLETED)
            if not sending.done():
                await asyncio.wait({sending}, timeout=_LEFT_SECONDS)
            if sending.done():
                sending.result()
        finally:
            sending.cancel()
            watching.cancel()
            await asyncio.gather(sending, watching, return_exceptions=True)

    async def _send(self, send: Send) -> None:
        async with aclosing(self._parts) as parts:
            first = await anext(parts, b"")
            start = {"type": "http.response.start", "status": 200, "headers": self.raw_headers}
            await send(start)
            await self._one(send, first)
            async for part in parts:
                await self._one(send, part)
        await send({"type": "http.response.body", "body": b""})

    async def _one(self, send: Send, part: bytes) -> None:
        self._since = time.monotonic()
        await send({"type": "http.response.body", "body": part, "more_body": True})
        self._since = None

    def _is_stuck(self) -> bool:
        """Whether the client lets lie what it is sent."""
        return self._since is not None and time.monotonic() - self._since > _STUCK_SECONDS


async def _watch(receive: Receive, is_stuck: Callable[[], bool]) -> None:
    """Wait until the client has left; its body has come already."""
    while (await receive())["type"] != "http.disconnect":
        pass
