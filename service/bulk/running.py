"""Lines to answers in their order, with several at work and none lost where a worker dies.

How long chunks take decides how many lines go into the next one, and nothing else: answers are the
same however they were packed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future
from itertools import islice
from typing import Final

from service.bulk.crew import Crew
from service.bulk.lines import JOBS, Answered, Bounds, Chunk, Work

_AHEAD: Final = 3
"""Chunks under way for each worker: one in work, one at its door, one that is late."""

_MOST_LINES: Final = 500


class Run:
    """Answers lines with a crew; `work` is what is done."""

    def __init__(self, crew: Crew, bounds: Bounds, work: Work = JOBS) -> None:
        self._crew = crew
        self._bounds = bounds
        self._work = work
        self._executor = crew.new(crew.workers)
        self._lines, self._seconds = 0, 0.0

    def answers(self, lines: Iterable[bytes], first: int) -> Iterator[Answered]:
        """The answers to lines of which the first has the number `first`, in their order."""
        left, number = iter(lines), first
        under_way: deque[tuple[Chunk, Future[Answered]]] = deque()
        while True:
            while len(under_way) < _AHEAD * self._crew.workers:
                taken = tuple(islice(left, self._size()))
                if not taken:
                    break
                chunk = Chunk(number, taken)
                number += len(taken)
                under_way.append((chunk, self._begun(chunk)))
            if not under_way:
                return
            yield from self._next(under_way)

    def close(self) -> None:
        """End what is under way."""
        self._crew.spent(self._executor)

    def _begun(self, chunk: Chunk) -> Future[Answered]:
        return self._executor.submit(self._work.answered, chunk, self._bounds)

    def _next(self, under_way: deque[tuple[Chunk, Future[Answered]]]) -> Iterator[Answered]:
        """The answers to the first chunk; where a worker died, to all that are under way."""
        done = self._result(under_way[0][1])
        if done is not None:
            under_way.popleft()
            self._weigh(done)
            yield done
            return
        suspects = list(under_way)
        under_way.clear()
        yield from self._once_more(suspects)

    def _once_more(self, suspects: list[tuple[Chunk, Future[Answered]]]) -> Iterator[Answered]:
        """Line by line, each alone with a worker: whose worker dies again is given up."""
        self._crew.spent(self._executor)
        alone = self._crew.new(1)
        for chunk, future in suspects:
            done = self._result(future) if future.done() else None
            if done is not None:
                yield done
                continue
            for one in chunk.parted():
                done = self._result(alone.submit(self._work.answered, one, self._bounds))
                if done is None:
                    self._crew.spent(alone)
                    alone = self._crew.new(1)
                yield done or self._work.lost(one, self._bounds)
        self._crew.spent(alone)
        self._executor = self._crew.new(self._crew.workers)

    def _weigh(self, done: Answered) -> None:
        self._lines += len(done.bodies)
        self._seconds += done.tally.seconds

    def _size(self) -> int:
        """Lines of the next chunk: enough that handing it over weighs little."""
        if not self._lines:
            return 1
        each = max(self._seconds / self._lines, 1e-6)
        return max(1, min(_MOST_LINES, round(self._crew.seconds / each)))

    def _result(self, future: Future[Answered]) -> Answered | None:
        """What came of it; None where its worker died or the work was dropped with another's."""
        try:
            return future.result()
        except self._crew.died:
            return None
