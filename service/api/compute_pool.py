"""A bounded pool of compute processes that can be killed; the event loop never computes.

Nothing but a kill stops native code, so a job past its deadline costs its process, and a new one
takes its place. Times are of the event loop's monotonic clock.
"""

from __future__ import annotations

import asyncio
import json
import logging
import multiprocessing
import os
import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict
from multiprocessing.context import ForkServerProcess
from typing import Final

from service.api import compute_process
from service.api.compute_process import LENGTHS, READY, Task
from service.api.problems import Declined
from service.api.settings import Settings
from service.compute import Outcome, Picked

_LOG: Final = logging.getLogger("service.api")
_CONTEXT: Final = multiprocessing.get_context("forkserver")
_PRELOAD: Final = ["service.api.compute_process", "service.compute"]
_AGAIN_SECONDS: Final = 1.0
_CLOSE_SECONDS: Final = 2.0


class _Unbegun(Exception):
    """The process was dead before it took up the job, so another may have it."""


class _Worker:
    """One compute process and our end of its socket."""

    def __init__(self, process: ForkServerProcess, channel: socket.socket) -> None:
        self.process = process
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
        """Run one job. Raises OSError or EOFError if the process dies under it, _Unbegun before."""
        assert self._writer is not None
        head = {"picked": asdict(picked), "seconds": seconds}
        try:
            self._writer.write(compute_process.frame(head, body))
            await self._writer.drain()
            await self._answer()  # BEGUN
        except (OSError, EOFError):
            raise _Unbegun from None
        return await self._answer()

    async def _answer(self) -> Outcome:
        assert self._reader is not None
        sizes = LENGTHS.unpack(await self._reader.readexactly(LENGTHS.size))
        head = json.loads(await self._reader.readexactly(sizes[0]))
        return Outcome(
            head["kind"], head.get("media", ""), await self._reader.readexactly(sizes[1])
        )

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


class ComputePool:
    """`settings.processes` compute processes behind a queue of `settings.waiting` places."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._task = Task(
            settings.function, settings.kinds_path, settings.memory_megabytes * 1_000_000
        )
        self._idle: asyncio.Queue[_Worker] = asyncio.Queue()
        self._workers: set[_Worker] = set()
        self._starting: set[asyncio.Task[None]] = set()
        self._admitted = 0
        self._closing = False

    @property
    def ready(self) -> bool:
        """Whether a warm compute process exists."""
        return bool(self._workers) and not self._closing

    def start(self) -> None:
        """Begin to start the processes; `ready` says when the first is warm."""
        # One thread each: the processes share the machine among themselves.
        for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
            os.environ.setdefault(name, "1")
        _CONTEXT.set_forkserver_preload([*_PRELOAD, self._settings.function.split(":")[0]])
        for _ in range(self._settings.processes):
            self._add()

    async def close(self) -> None:
        """End every process, by force if it is at work; returns when all are gone."""
        self._closing = True
        workers = list(self._workers)
        for worker in workers:
            worker.close()
        if self._starting:
            await asyncio.wait(set(self._starting), timeout=self._settings.warm_up_seconds)
        await asyncio.to_thread(_join, [worker.process for worker in workers])

    @contextmanager
    def admit(self) -> Iterator[float]:
        """Hold one place while the body is read and the job runs; gives the deadline.

        Raises Declined (Busy) when no place is free.
        """
        if self._closing or self._admitted >= self._settings.processes + self._settings.waiting:
            raise self._declined("Busy", "All places are taken.")
        self._admitted += 1
        try:
            yield asyncio.get_running_loop().time() + self._settings.deadline_seconds
        finally:
            self._admitted -= 1

    async def run(self, body: bytes, picked: Picked, until: float) -> Outcome:
        """Take off one job before `until`. Raises Declined: Late, Interrupted.

        When the caller is cancelled, the process at work is killed.
        """
        try:
            async with asyncio.timeout_at(until):
                while True:
                    with suppress(_Unbegun):
                        return await self._asked(await self._free(), body, picked, until)
        except TimeoutError:
            raise self._late() from None
        except (OSError, EOFError):
            raise self._declined("Interrupted", "The process that did the work ended.") from None

    async def _free(self) -> _Worker:
        while True:
            worker = await self._idle.get()
            if not worker.is_gone:
                return worker
            self._replace(worker)

    async def _asked(self, worker: _Worker, body: bytes, picked: Picked, until: float) -> Outcome:
        left = until - asyncio.get_running_loop().time()
        try:
            outcome = await worker.ask(body, picked, left)
        except BaseException:
            self._replace(worker)
            raise
        self._idle.put_nowait(worker)
        return outcome

    def _replace(self, worker: _Worker) -> None:
        """Kill a process that is late, left behind or dead already, and start another."""
        worker.kill()
        self._workers.discard(worker)
        if not self._closing:
            self._add()

    def _add(self) -> None:
        task = asyncio.create_task(self._started())
        self._starting.add(task)
        task.add_done_callback(self._starting.discard)

    async def _started(self) -> None:
        """Start one process and put it to work; try again until it is warm."""
        while not self._closing:
            worker = await asyncio.to_thread(_spawned, self._task)
            if worker is not None and await self._is_warm(worker):
                self._workers.add(worker)
                self._idle.put_nowait(worker)
                return
            await asyncio.sleep(0 if self._closing else _AGAIN_SECONDS)

    async def _is_warm(self, worker: _Worker) -> bool:
        try:
            async with asyncio.timeout(self._settings.warm_up_seconds):
                await worker.open()
        except (OSError, EOFError, TimeoutError):
            _LOG.error("a compute process did not become ready")
            worker.kill()
            return False
        if self._closing:
            worker.kill()
        return not self._closing

    def _late(self) -> Declined:
        seconds = f"{self._settings.deadline_seconds:g}"
        return self._declined("Late", f"The answer was not ready within {seconds} s.")

    def _declined(self, name: str, detail: str) -> Declined:
        again = {"Retry-After": str(self._settings.retry_after_seconds)}
        return Declined(name, detail, headers=again)


def _spawned(task: Task) -> _Worker | None:
    """A new process and its socket; None where the system gave none."""
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
    return _Worker(process, ours)


def _join(processes: list[ForkServerProcess]) -> None:
    for process in processes:
        process.join(_CLOSE_SECONDS)
        if process.is_alive():
            process.kill()
            process.join()
