"""A bounded pool of compute processes that can be killed; the event loop never computes.

Nothing but a kill stops native code, so a job past its deadline costs its process, and a new one
takes its place. Times are of the event loop's monotonic clock.
"""

from __future__ import annotations

import asyncio
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from typing import Final

from service.api.compute_worker import Unbegun, Worker, join
from service.api.fork_server import Forks, own, task_of
from service.api.lanes import HEAVY, LIGHT, Lanes
from service.api.metrics import Metrics
from service.api.problems import Declined
from service.api.settings import Settings
from service.compute import Outcome, Picked

_LOG: Final = logging.getLogger("service.api")
_AGAIN_SECONDS: Final = 1.0
_START_SECONDS: Final = 5.0
"""How long the pool waits, when it is closed, for processes that are just being started."""


class ComputePool:
    """`settings.processes` compute processes behind `settings.waiting` places to wait."""

    def __init__(self, settings: Settings, metrics: Metrics) -> None:
        self._settings = settings
        self._metrics = metrics
        self._lanes = Lanes()
        self._workers: set[Worker] = set()
        self._warming: set[Worker] = set()
        self._starting: set[asyncio.Task[None]] = set()
        self._closing = False
        self.forks: Forks | None = None
        """Where processes are asked for; None: at a fork server of this process's own."""
        self.admitted = 0
        """Jobs that hold a place: being read, waiting, or at work."""
        self._patient = 0
        """Those of them that are lines of a batch or rows of a sheet."""
        self._turns = asyncio.Semaphore(settings.processes)
        self.draining = False
        """Whether new jobs are refused because the service is being stopped."""

    @property
    def warm(self) -> bool:
        """Whether a compute process is there that has run a job."""
        return bool(self._workers) and not self._closing

    def start(self) -> None:
        """Begin to start the processes; `warm` says when the first is."""
        heavy = self._settings.heavy_processes
        for number in range(self._settings.processes):
            self._add(takes_heavy=number < heavy)

    def look(self) -> None:
        """Take down what this process and its compute processes take."""
        there = [one.number for one in self._workers if one.number is not None]
        self._metrics.processes.look("serve", [os.getpid()])
        self._metrics.processes.look("compute", there)

    def drain(self) -> None:
        """Refuse new jobs from now on; what is admitted goes on to its end."""
        self.draining = True

    async def close(self) -> None:
        """End every process, by force if it is at work; returns when all are gone."""
        self.draining = self._closing = True
        for worker in self._warming:
            worker.kill()
        workers = list(self._workers)
        for worker in workers:
            worker.dismiss()
        if self._starting:
            await asyncio.wait(set(self._starting), timeout=_START_SECONDS)
        await asyncio.to_thread(join, workers)
        for worker in workers:
            worker.kill()

    def refusal(self) -> Declined | None:
        """Why no job can be taken now: Stopping, Busy; None if one can."""
        if (declined := self.stopping()) is not None:
            return declined
        if self.admitted - self._patient >= self._settings.processes + self._settings.waiting:
            return self._declined("Busy", "All places are taken.")
        return None

    def stopping(self) -> Declined | None:
        """Why not even work that waits can be taken: Stopping; None if it can."""
        return (
            self._declined("Stopping", "The service is being stopped.") if self.draining else None
        )

    @contextmanager
    def admit(self) -> Iterator[float]:
        """Hold one place while the body is read and the job runs; gives the deadline.

        Raises Declined: Stopping, or Busy when no place is free.
        """
        if (declined := self.refusal()) is not None:
            raise declined
        self.admitted += 1
        try:
            yield asyncio.get_running_loop().time() + self._settings.deadline_seconds
        finally:
            self.admitted -= 1

    async def run(self, body: bytes, picked: Picked, until: float) -> Outcome:
        """Take off one job before `until`. Raises Declined: Busy, Late, Interrupted.

        What a job will cost is seen when it is read; a heavy one then waits in a lane of its own.
        When the caller is cancelled, the process at work is killed.
        """
        with self._told():
            async with asyncio.timeout_at(until):
                outcome = await self._in_lane(LIGHT, body, picked, until)
                if outcome.kind == HEAVY:
                    if self._lanes.waiting(HEAVY) >= self._settings.heavy_waiting:
                        detail = "All places for jobs of this size are taken."
                        raise self._declined("Busy", detail)
                    outcome = await self._in_lane(HEAVY, body, picked, until)
                return outcome

    async def run_in_turn(self, body: bytes, picked: Picked) -> Outcome:
        """One of many jobs that came together. Raises Declined: Stopping, Late, Interrupted.

        It takes no place from those who ask for one job, of which no more wait than may: as many
        such jobs as there are processes wait in the lanes beside them, the others for their turn.
        Its time begins when a process takes it up, so a full service makes it wait and no more.
        """
        async with self._turns:
            if (declined := self.stopping()) is not None:
                raise declined
            self.admitted += 1
            self._patient += 1
            try:
                with self._told():
                    outcome = await self._in_lane(LIGHT, body, picked)
                    if outcome.kind == HEAVY:
                        outcome = await self._in_lane(HEAVY, body, picked)
                    return outcome
            finally:
                self.admitted -= 1
                self._patient -= 1

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Tell a deadline that has passed, and a process that has died, as what they are."""
        try:
            yield
        except TimeoutError:
            self._metrics.stopped("late")
            seconds = f"{self._settings.deadline_seconds:g}"
            raise self._declined("Late", f"The answer was not ready in {seconds} s.") from None
        except (OSError, EOFError):
            self._metrics.stopped("died")
            raise self._declined("Interrupted", "The process that did the work ended.") from None

    async def _in_lane(
        self, lane: str, body: bytes, picked: Picked, until: float | None = None
    ) -> Outcome:
        """Have it done by the next process of the lane: `until` then, or in the usual time."""
        self._metrics.job(lane)
        while True:
            worker = await self._free(lane)
            then = asyncio.get_running_loop().time() + self._settings.deadline_seconds
            with suppress(Unbegun):
                async with asyncio.timeout_at(then if until is None else None):
                    return await self._asked(worker, lane, body, picked, until or then)

    async def _free(self, lane: str) -> Worker:
        with self._metrics.waits(lane):
            while True:
                worker = await self._lanes.take(lane)
                if not worker.is_gone:
                    return worker
                self._replace(worker)

    async def _asked(
        self, worker: Worker, lane: str, body: bytes, picked: Picked, until: float
    ) -> Outcome:
        left = until - asyncio.get_running_loop().time()
        # A process that may take heavy jobs need not hand one back that it has read already.
        only_light = lane == LIGHT and not worker.takes_heavy
        try:
            with self._metrics.works(lane):
                outcome = await worker.ask(body, replace(picked, only_light=only_light), left)
        except BaseException:
            self._replace(worker)
            raise
        self._lanes.give(worker)
        return outcome

    def _replace(self, worker: Worker) -> None:
        """Kill a process that is late, left behind or dead already, and start another."""
        worker.kill()
        self._workers.discard(worker)
        self._lanes.forget(worker)
        if not self._closing:
            self._add(worker.takes_heavy)

    def _add(self, takes_heavy: bool) -> None:
        task = asyncio.create_task(self._started(takes_heavy))
        self._starting.add(task)
        task.add_done_callback(self._starting.discard)

    async def _started(self, takes_heavy: bool) -> None:
        """Start one process and put it to work; try again until it is warm."""
        while not self._closing:
            worker = self._forked(takes_heavy)
            if worker is not None and await self._is_warm(worker):
                self._workers.add(worker)
                self._lanes.give(worker)
                return
            await asyncio.sleep(0 if self._closing else _AGAIN_SECONDS)

    def _forked(self, takes_heavy: bool) -> Worker | None:
        """A process that is about to be; None where there is nobody to ask for it."""
        forks = self.forks or own(task_of(self._settings))
        channel = forks.fork(takes_heavy)
        if channel is None:
            own.cache_clear()
            return None
        return Worker(channel, takes_heavy)

    async def _is_warm(self, worker: Worker) -> bool:
        self._warming.add(worker)
        try:
            async with asyncio.timeout(0 if self._closing else self._settings.warm_up_seconds):
                await worker.open()
        except (OSError, EOFError, TimeoutError):
            if not self._closing:
                _LOG.error("a compute process did not become ready")
            worker.kill()
            return False
        finally:
            self._warming.discard(worker)
        if self._closing:
            worker.kill()
        return not self._closing

    def _declined(self, name: str, detail: str) -> Declined:
        again = {"Retry-After": str(self._settings.retry_after_seconds)}
        return Declined(name, detail, headers=again)
