"""One compute process as its owner sees it: it is started, asked, and killed."""

from __future__ import annotations

import asyncio
import json
import logging
import multiprocessing
import os
import socket
from dataclasses import asdict
from multiprocessing.context import ForkServerProcess
from typing import Final

from service.api import compute_process
from service.api.compute_process import LENGTHS, READY, Task
from service.compute import Outcome, Picked

_LOG: Final = logging.getLogger("service.api")
_CONTEXT: Final = multiprocessing.get_context("forkserver")
_PRELOAD: Final = ["service.api.compute_process", "service.compute"]
_CLOSE_SECONDS: Final = 2.0


class Unbegun(Exception):
    """The process was dead before it took up the job, so another may have it."""


class Worker:
    """One compute process and our end of its socket."""

    def __init__(self, process: ForkServerProcess, channel: socket.socket, task: Task) -> None:
        self.process = process
        self.takes_heavy = task.heavy
        self._channel = channel
        self._reader: asyncio.StreamReader | None = None
        self._writer: asyncio.StreamWriter | None = None

    async def open(self) -> None:
        """Wait until the process says that it is warm. Raises OSError or EOFError if it dies."""
        self._reader, self._writer = await asyncio.open_connection(sock=self._channel)
        outcome = await self._answer()
        if outcome.kind != READY:
            _LOG.error("a compute process failed at its start: %s", outcome.body.decode())
            raise EOFError

    @property
    def is_gone(self) -> bool:
        """Whether the process has closed its end."""
        return self._reader is None or self._reader.at_eof()

    async def ask(self, body: bytes, picked: Picked, seconds: float) -> Outcome:
        """Run one job. Raises OSError or EOFError if the process dies under it, Unbegun before."""
        assert self._writer is not None
        head = {"picked": asdict(picked), "seconds": seconds}
        try:
            self._writer.write(compute_process.frame(head, body))
            await self._writer.drain()
            await self._answer()  # BEGUN
        except (OSError, EOFError):
            raise Unbegun from None
        return await self._answer()

    async def _answer(self) -> Outcome:
        assert self._reader is not None
        sizes = LENGTHS.unpack(await self._reader.readexactly(LENGTHS.size))
        head = json.loads(await self._reader.readexactly(sizes[0]))
        return Outcome(body=await self._reader.readexactly(sizes[1]), **head)

    def kill(self) -> None:
        """End the process now, if it is alive: a dead one's number may be another's."""
        if self.process.is_alive():
            self.process.kill()
        self.close()

    def close(self) -> None:
        """Close our end; an idle process then ends by itself."""
        if self._writer is not None:
            self._writer.close()
        else:
            self._channel.close()


def prepare(function: str) -> None:
    """Set up the process that all others are forked from, for jobs that run `function`."""
    # One thread each: the processes share the machine among themselves.
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
        os.environ.setdefault(name, "1")
    _CONTEXT.set_forkserver_preload([*_PRELOAD, function.split(":", maxsplit=1)[0]])


def spawned(task: Task) -> Worker | None:
    """A new process and its socket; None where the system gave none. It blocks for a moment."""
    ours, theirs = socket.socketpair()
    process = _CONTEXT.Process(target=compute_process.serve, args=(theirs, task), daemon=True)
    try:
        process.start()
    except (OSError, EOFError) as fault:
        _LOG.error("a compute process could not be started: %s", type(fault).__name__)
        ours.close()
        return None
    finally:
        theirs.close()
    ours.setblocking(False)
    return Worker(process, ours, task)


def join(workers: list[Worker]) -> None:
    """Wait until these processes are gone; one that does not go is killed. It blocks."""
    for worker in workers:
        worker.process.join(_CLOSE_SECONDS)
        if worker.process.is_alive():
            worker.process.kill()
            worker.process.join()
