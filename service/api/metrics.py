"""What is counted and timed, for Prometheus: by route template and status, never by what was sent.

Several server processes write into one folder, which is named before the library is read;
whichever is asked then tells the sums of all.
"""

from __future__ import annotations

import os
import platform
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram
from prometheus_client.exposition import choose_encoder
from prometheus_client.multiprocess import MultiProcessCollector

from service import RULES_VERSION, __version__
from service.api.footprint import Processes
from service.api.starting import FOLDER

_METHODS: Final = frozenset({"GET", "HEAD", "POST", "OPTIONS"})
_SECONDS: Final = (0.002, 0.005, 0.01, 0.025, 0.05, 0.1, 0.2, 0.5, 1, 2, 4, 8, 16)
_RATIOS: Final = (0, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1)


class Metrics:
    """The counters of one server process."""

    def __init__(self) -> None:
        self._registry = CollectorRegistry()
        count, spread = self._counter, self._histogram
        self._requests = count("requests", "Answers.", "method", "route", "status")
        self._sent = count("sent_bytes", "Bytes of answers, as they were sent.", "route")
        self._problems = count("problems", "Problems answered.", "problem")
        self._jobs = count("jobs", "Jobs put into a lane.", "lane")
        self._stopped = count("jobs_stopped", "Jobs ended before their answer.", "why")
        self._seconds = spread("request_duration_seconds", "From head to answer.", "route")
        self._waited = spread("job_wait_seconds", "Waiting for a compute process.", "lane")
        self._worked = spread("job_duration_seconds", "Work of a compute process.", "lane")
        self._gap = spread(
            "plan_gap_ratio", "By which share of its cost a plan may be too dear.", buckets=_RATIOS
        )
        self._waiting = Gauge(
            "takeoff_jobs_waiting", "Jobs that wait now.", ["lane"], registry=self._registry,
            multiprocess_mode="livesum",
        )  # fmt: skip
        self.processes = Processes(self._registry)
        self._tell_build()

    def _counter(self, name: str, told: str, *labels: str) -> Counter:
        return Counter(f"takeoff_{name}", told, labels, registry=self._registry)

    def _histogram(
        self, name: str, told: str, *labels: str, buckets: tuple[float, ...] = _SECONDS
    ) -> Histogram:
        return Histogram(
            f"takeoff_{name}", told, labels, buckets=buckets, registry=self._registry
        )  # fmt: skip

    def _tell_build(self) -> None:
        """What runs, as labels of a 1: several processes cannot share the library's own Info."""
        Gauge(
            "takeoff_build_info", "What runs.", ["version", "rules", "python"],
            registry=self._registry, multiprocess_mode="livemax",
        ).labels(__version__, RULES_VERSION, platform.python_version()).set(1)  # fmt: skip

    def answered(self, method: str, route: str, status: int, seconds: float, sent: int) -> None:
        """One answer of `sent` bytes; a method that no resource has counts as `other`."""
        known = method if method in _METHODS else "other"
        self._requests.labels(known, route, str(status)).inc()
        self._seconds.labels(route).observe(seconds)
        self._sent.labels(route).inc(sent)

    def problem(self, slug: str) -> None:
        """One problem, by the last part of its type."""
        self._problems.labels(slug).inc()

    def job(self, lane: str) -> None:
        """A job was put into a lane: its class of cost."""
        self._jobs.labels(lane).inc()

    def stopped(self, why: str) -> None:
        """A job ended without an answer: `late`, `left` by its client, or its process `died`."""
        self._stopped.labels(why).inc()

    def gap(self, percent: float) -> None:
        """How far from the best the plan of an answer may be."""
        self._gap.observe(percent / 100)

    @contextmanager
    def waits(self, lane: str) -> Iterator[None]:
        """Count and time one who waits in `lane` for a process."""
        self._waiting.labels(lane).inc()
        try:
            with _timed(self._waited.labels(lane)):
                yield
        finally:
            self._waiting.labels(lane).dec()

    @contextmanager
    def works(self, lane: str) -> Iterator[None]:
        """Time a compute process at a job of `lane`, however it ends."""
        with _timed(self._worked.labels(lane)):
            yield

    def written(self, accept: str = "") -> tuple[bytes, str]:
        """All counters, summed over the server processes, in the form that suits best; its type.

        `accept` is an Accept header: there are the text form of Prometheus and OpenMetrics.
        """
        registry = self._registry
        if os.environ.get(FOLDER):
            registry = CollectorRegistry()
            MultiProcessCollector(registry)  # type: ignore[no-untyped-call]  # it has no types
        write, media = choose_encoder(accept)
        return write(registry), media


@contextmanager
def _timed(seconds: Histogram) -> Iterator[None]:
    began = time.monotonic()
    try:
        yield
    finally:
        seconds.observe(time.monotonic() - began)
