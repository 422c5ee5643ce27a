"""Who does the work, as an executor that may break; and the processes of this machine."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, CancelledError, Executor, ProcessPoolExecutor
from dataclasses import dataclass
from threading import Thread
from typing import Final

from service import RULES_VERSION, __version__
from service.api.compute_process import WARM_UP
from service.compute import Picked, answer

VERSION: Final = f"{__version__} with rules {RULES_VERSION}"
"""What answers rest on beside the request."""


class Unusable(Exception):
    """A crew that is not there, or would answer otherwise; says what to do."""


@dataclass(frozen=True, slots=True)
class Crew:
    """An executor that can be replaced once it is broken, and how many it works with.

    A chunk should take a worker `seconds`, so that handing it over weighs little.

    `new` gives a fresh one of at most so many workers; `spent` is told of one that is not used any
    more. `died` is what a future raises whose worker ended, or was dropped with one that did.
    """

    workers: int
    new: Callable[[int], Executor]
    spent: Callable[[Executor], None]
    seconds: float = 0.2
    died: tuple[type[BaseException], ...] = (BrokenExecutor, CancelledError)


def of_this_machine(processes: int) -> Crew:
    """Processes of this machine, so many at once, forked from one that has read the service."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["service.bulk.lines", "service.bulk.sheets"])

    def new(most: int) -> Executor:
        return ProcessPoolExecutor(min(most, processes), context, initializer=_begin)

    return Crew(processes, new, lambda executor: executor.shutdown(cancel_futures=True))


def _begin() -> None:
    """Read all that an answer needs; Ctrl-C is for the process that gives out the work.

    Standard output is that process's too: here a library may print on it.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_who_gives_work, daemon=True).start()
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    answer(WARM_UP, Picked())


def _end_with_who_gives_work() -> None:
    """A process whose work nobody takes any more, since its run was killed, is to end as well."""
    if (giver := multiprocessing.parent_process()) is not None:
        giver.join()
        os._exit(1)
