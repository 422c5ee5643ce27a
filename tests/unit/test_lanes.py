"""Who computes next, without any process: the ones here are only names."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from dataclasses import dataclass
from typing import Any

from service.api.lanes import HEAVY, LIGHT, Lanes


@dataclass(eq=False)
class Process:
    """Stands for a compute process."""

    takes_heavy: bool


def run(work: Coroutine[Any, Any, None]) -> None:
    asyncio.run(work)


def filled(*processes: Process) -> Lanes:
    lanes = Lanes()
    for process in processes:
        lanes.give(process)
    return lanes


def test_a_light_job_leaves_the_process_that_takes_heavy_ones() -> None:
    async def work() -> None:
        plain, both = Process(False), Process(True)
        lanes = filled(both, plain)
        assert await lanes.take(LIGHT) is plain
        assert await lanes.take(LIGHT) is both

    run(work())


def test_heavy_jobs_never_get_the_process_that_is_kept_for_light_ones() -> None:
    async def work() -> None:
        plain, both = Process(False), Process(True)
        lanes = filled(plain, both)
        assert await lanes.take(HEAVY) is both
        second = asyncio.ensure_future(lanes.take(HEAVY))
        await asyncio.sleep(0)
        assert lanes.waiting(HEAVY) == 1
        assert await lanes.take(LIGHT) is plain
        lanes.give(plain)
        await asyncio.sleep(0)
        assert not second.done()
        lanes.give(both)
        assert await second is both
        assert lanes.waiting(HEAVY) == 0

    run(work())


def test_who_has_waited_longest_is_next_in_either_lane() -> None:
    async def work() -> None:
        both = Process(True)
        lanes = filled()
        order: list[str] = []

        async def one(name: str, lane: str) -> None:
            order.append(name) if await lanes.take(lane) is both else None
            lanes.give(both)

        jobs = [asyncio.ensure_future(one(name, lane)) for name, lane in
                (("a", HEAVY), ("b", LIGHT), ("c", LIGHT), ("d", HEAVY))]  # fmt: skip
        await asyncio.sleep(0)
        lanes.give(both)
        await asyncio.gather(*jobs)
        assert order == ["a", "b", "c", "d"]

    run(work())


def test_a_process_is_not_lost_with_one_who_left() -> None:
    """One who leaves in the moment that it gets a process gives it to the next."""

    async def work() -> None:
        only = Process(False)
        lanes = filled()
        first = asyncio.ensure_future(lanes.take(LIGHT))
        second = asyncio.ensure_future(lanes.take(LIGHT))
        third = asyncio.ensure_future(lanes.take(LIGHT))
        await asyncio.sleep(0)
        third.cancel()
        lanes.give(only)
        first.cancel()
        assert await second is only
        assert lanes.waiting(LIGHT) == 0
        lanes.give(only)
        assert await lanes.take(LIGHT) is only

    run(work())


def test_a_process_that_is_gone_is_not_handed_out() -> None:
    async def work() -> None:
        gone, other = Process(False), Process(True)
        lanes = filled(gone, other)
        lanes.forget(gone)
        assert await lanes.take(LIGHT) is other

    run(work())
