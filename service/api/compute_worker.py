"""One compute process as its owner sees it: it is started, asked, and killed."""

from __future__ import annotations

import asyncio
import logging
import os
import select
import signal
import socket
from contextlib import suppress
from typing import Any, Final

import orjson

from service.api import compute_process
from service.api.compute_process import LENGTHS, READY
from service.compute import Outcome, Picked

_LOG: Final = logging.getLogger("service.api")
_CLOSE_SECONDS: Final = 2.0


class Unbegun(Exception):
    """The process was dead before it took up the job, so another may have it."""


class Worker:
    """One compute process and our end of its socket."""

    def __init__(self, channel: socket.socket, takes_heavy: bool) -> None:
        self.takes_heavy = takes_heavy
        self._pid: int | None = None
        self._channel = channel
        channel.setblocking(False)
        self._reader: asyncio.StreamReader | None = None
        self._writer: asyncio.StreamWriter | None = None

    async def open(self) -> None:
        """Wait until the process says that it is warm. Raises OSError or EOFError if it dies."""
        self._reader, self._writer = await asyncio.open_connection(sock=self._channel)
        born, _ = await self._frame()
        self._pid = born["pid"]
        outcome = await self._answer()
        if outcome.kind != READY:
            _LOG.error("a compute process failed at its start: %s", outcome.body.decode())
            raise EOFError

    @property
    def number(self) -> int | None:
        """The process's number in the system; None until it is born."""
        return self._pid

    @property
    def is_gone(self) -> bool:
        """Whether the process has closed its end."""
        return self._reader is None or self._reader.at_eof()

    async def ask(self, body: bytes, picked: Picked, seconds: float) -> Outcome:
        """Run one job. Raises OSError or EOFError if the process dies under it, Unbegun before."""
        assert self._writer is not None
        head = {"picked": picked, "seconds": seconds}
        try:
            self._writer.write(compute_process.frame(head, body))
            await self._writer.drain()
            await self._answer()  # BEGUN
        except (OSError, EOFError):
            raise Unbegun from None
        return await self._answer()

    async def _answer(self) -> Outcome:
        head, body = await self._frame()
        return Outcome(body=body, **head)

    async def _frame(self) -> tuple[dict[str, Any], bytes]:
        assert self._reader is not None
        sizes = LENGTHS.unpack(await self._reader.readexactly(LENGTHS.size))
        head = orjson.loads(await self._reader.readexactly(sizes[0]))
        return head, await self._reader.readexactly(sizes[1])

    def kill(self) -> None:
        """End the process now, and close our end."""
        self.strike()
        if self._writer is not None:
            self._writer.close()
        else:
            self._channel.close()

    def strike(self) -> None:
        """End the process now, if it is alive: a dead one's number may be another's."""
        if self._pid is not None and not self.ends_within(0):
            with suppress(ProcessLookupError):
                os.kill(self._pid, signal.SIGKILL)

    def dismiss(self) -> None:
        """Say that nothing more comes; an idle process then ends by itself."""
        with suppress(OSError):
            self._channel.shutdown(socket.SHUT_WR)

    def ends_within(self, seconds: float) -> bool:
        """Whether the process is gone, or goes in that time: the system then closes its end.

        It blocks so long at most.
        """
        if self._channel.fileno() < 0:
            return True
        end = select.poll()
        end.register(self._channel, 0)
        return bool(end.poll(seconds * 1000))


def join(workers: list[Worker]) -> None:
    """Wait until these processes are gone; one that does not go is killed. It blocks."""
    for worker in workers:
        if not worker.ends_within(_CLOSE_SECONDS):
            worker.strike()
            worker.ends_within(_CLOSE_SECONDS)
