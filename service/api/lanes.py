"""Who computes next: light jobs have processes that no heavy one can take from them.

Every process takes light jobs; some take heavy ones too. A process that becomes free takes, of
what it may take, what has waited longest, so neither sort is starved.
"""

from __future__ import annotations

import asyncio
from collections import deque
from itertools import count
from typing import Final

from service.api.compute_worker import Worker

LIGHT: Final = "light"
HEAVY: Final = "heavy"


class Lanes:
    """Idle processes, and those who wait for one."""

    def __init__(self) -> None:
        self._idle: list[Worker] = []
        self._waiting: dict[str, deque[tuple[int, asyncio.Future[Worker]]]] = {
            LIGHT: deque(),
            HEAVY: deque(),
        }
        self._numbers = count()

    def waiting(self, lane: str) -> int:
        """How many wait in `lane`."""
        return sum(not place.done() for _, place in self._waiting[lane])

    async def take(self, lane: str) -> Worker:
        """A process for a job of `lane`, as soon as there is one; to be given back."""
        fit = [one for one in self._idle if lane == LIGHT or one.takes_heavy]
        if fit:
            chosen = min(fit, key=lambda one: one.takes_heavy)
            self._idle.remove(chosen)
            return chosen
        place: asyncio.Future[Worker] = asyncio.get_running_loop().create_future()
        self._waiting[lane].append((next(self._numbers), place))
        try:
            return await place
        except asyncio.CancelledError:
            if place.done() and not place.cancelled():
                self.give(place.result())
            raise

    def give(self, worker: Worker) -> None:
        """Take a process back: the one who has waited longest gets it."""
        lanes = (LIGHT, HEAVY) if worker.takes_heavy else (LIGHT,)
        while heads := [(self._waiting[lane][0][0], lane) for lane in lanes if self._waiting[lane]]:
            _, place = self._waiting[min(heads)[1]].popleft()
            if not place.done():
                place.set_result(worker)
                return
        self._idle.append(worker)

    def forget(self, worker: Worker) -> None:
        """A process is gone."""
        if worker in self._idle:
            self._idle.remove(worker)
