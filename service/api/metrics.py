"""What is counted and timed, for Prometheus: by route template and status, never by what was sent.

Several server processes write into one folder, which is named before the library is read;
whichever is asked then tells the sums of all.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest
from prometheus_client.multiprocess import MultiProcessCollector

from service.api.starting import FOLDER

MEDIA: Final = "text/plain; version=0.0.4; charset=utf-8"

_METHODS: Final = frozenset({"GET", "HEAD", "POST", "OPTIONS"})
_SECONDS: Final = (0.002, 0.005, 0.01, 0.025, 0.05, 0.1, 0.2, 0.5, 1, 2, 4, 8, 16)
_PERCENT: Final = (0, 0.1, 0.2, 0.5, 1, 2, 5, 10)


class Metrics:
    """The counters of one server process."""

    def __init__(self) -> None:
        self._registry = CollectorRegistry()
        count = self._counter
        self._requests = count("requests", "Answers.", "method", "route", "status")
        self._problems = count("problems", "Problems answered.", "problem")
        self._jobs = count("jobs", "Jobs put into a lane.", "lane")
        self._stopped = count("jobs_stopped", "Jobs ended before their answer.", "why")
        self._seconds = Histogram(
            "takeoff_request_seconds", "From head to answer.", ["route"], buckets=_SECONDS,
            registry=self._registry,
        )  # fmt: skip
        self._waited = Histogram(
            "takeoff_wait_seconds", "Waiting for a compute process.", ["lane"], buckets=_SECONDS,
            registry=self._registry,
        )  # fmt: skip
        self._gap = Histogram(
            "takeoff_plan_gap_percent", "By how much a plan may cost too much.", buckets=_PERCENT,
            registry=self._registry,
        )  # fmt: skip
        self._waiting = Gauge(
            "takeoff_jobs_waiting", "Jobs that wait now.", ["lane"], registry=self._registry,
            multiprocess_mode="livesum",
        )  # fmt: skip

    def _counter(self, name: str, told: str, *labels: str) -> Counter:
        return Counter(f"takeoff_{name}", told, labels, registry=self._registry)

    def answered(self, method: str, route: str, status: int, seconds: float) -> None:
        """One answer; a method that no resource has counts as `other`."""
        known = method if method in _METHODS else "other"
        self._requests.labels(known, route, str(status)).inc()
        self._seconds.labels(route).observe(seconds)

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
        self._gap.observe(percent)

    @contextmanager
    def waits(self, lane: str) -> Iterator[None]:
        """Count and time one who waits in `lane` for a process."""
        began = time.monotonic()
        self._waiting.labels(lane).inc()
        try:
            yield
        finally:
            self._waiting.labels(lane).dec()
            self._waited.labels(lane).observe(time.monotonic() - began)

    def written(self) -> bytes:
        """All counters in the text form of Prometheus, summed over the server processes."""
        registry = self._registry
        if os.environ.get(FOLDER):
            registry = CollectorRegistry()
            MultiProcessCollector(registry)  # type: ignore[no-untyped-call]  # it has no types
        return generate_latest(registry)
