"""What the processes of the service take: memory, files, processor time, by what they do.

The library's own collector reads the figures of one process; here they are summed over those of a
sort, because a compute process lives no longer than its worst job.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Final

from prometheus_client import CollectorRegistry, Counter, Gauge, ProcessCollector

from service.units.folding import folded

_SUMMED: Final = {
    "process_resident_memory_bytes": "Memory in use; what processes share counts in each.",
    "process_open_fds": "Open file descriptors.",
}
_LEAST: Final = {
    "process_start_time_seconds": "When the oldest began, in seconds since 1970.",
    "process_max_fds": "Open file descriptors that one may have.",
}
_CPU: Final = "process_cpu_seconds_total"


class Processes:
    """The figures of this server process and of its compute processes."""

    def __init__(self, registry: CollectorRegistry) -> None:
        def gauge(name: str, told: str, mode: str) -> Gauge:
            return Gauge(name, told, ["process"], registry=registry, multiprocess_mode=mode)  # type: ignore[arg-type]  # one of its literals

        self._summed = {name: gauge(name, told, "livesum") for name, told in _SUMMED.items()}
        self._least = {name: gauge(name, told, "livemin") for name, told in _LEAST.items()}
        self._there = gauge("takeoff_processes", "Processes that are there now.", "livesum")
        self._seconds = Counter(
            _CPU, "Processor time, of those too that have ended.", ["process"],
            registry=registry,
        )  # fmt: skip
        self._spent: dict[str, dict[int, float]] = {}

    def look(self, sort: str, numbers: Collection[int]) -> None:
        """Take down what the processes of these numbers, all of one sort, take now."""
        seen = {number: found for number in numbers if (found := _figures(number))}
        self._there.labels(sort).set(len(seen))
        for name, gauge in self._summed.items():
            gauge.labels(sort).set(folded(one.get(name, 0.0) for one in seen.values()))
        for name, gauge in self._least.items():
            gauge.labels(sort).set(min((one.get(name, 0) for one in seen.values()), default=0))
        self._add_seconds({number: one[_CPU] for number, one in seen.items()}, sort)

    def _add_seconds(self, now: dict[int, float], sort: str) -> None:
        """Count what was spent since the last look: a process that ends takes nothing back."""
        before = self._spent.get(sort, {})
        spent = (now[number] - before.get(number, 0) for number in now)
        self._seconds.labels(sort).inc(folded(max(0.0, one) for one in spent))
        self._spent[sort] = now


def _figures(number: int) -> Mapping[str, float]:
    """The library's figures of one process; none where it is gone."""
    families = ProcessCollector(pid=lambda: number, registry=None).collect()
    return {sample.name: sample.value for family in families for sample in family.samples}
