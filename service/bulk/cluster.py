"""The workers behind a Dask scheduler, for a run that one machine is too small for."""

from __future__ import annotations

from concurrent.futures import CancelledError
from typing import Any, Final

from distributed import Client, KilledWorker

from service.bulk.crew import VERSION, Crew, Unusable

_LEAST_SECONDS: Final = 0.2
_SCHEDULER_SECONDS: Final = 0.002
"""Of a chunk for each worker: twice what a scheduler takes for a task, about one millisecond
(documentation of Dask.distributed, "Efficiency"), so that it keeps up with all of them."""


def of_cluster(address: str) -> Crew:
    """The workers of the scheduler at an address, which must run this very version.

    Raises Unusable.
    """
    try:
        # Answers come from the workers themselves: the scheduler's one door would be too narrow.
        client = Client(address, set_as_default=False, timeout="10s", direct_to_workers=True)
    except (OSError, ValueError) as fault:
        raise Unusable(f"no scheduler answers at {address}: {type(fault).__name__}") from None
    _same_version(client.run(_version))
    threads: list[int] = list(client.nthreads().values())
    return Crew(
        sum(threads),
        lambda most: client.get_executor(pure=False),
        lambda executor: executor.shutdown(wait=False),
        max(_LEAST_SECONDS, _SCHEDULER_SECONDS * sum(threads)),
        (KilledWorker, CancelledError),
    )


def _version() -> str:
    return VERSION


def _same_version(of_each: dict[str, Any]) -> None:
    if not of_each:
        raise Unusable("the scheduler has no workers")
    for worker, one in sorted(of_each.items()):
        if one != VERSION:
            raise Unusable(f"the worker {worker} has {one}, this is {VERSION}")
