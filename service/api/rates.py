"""How often each caller may ask: a sliding window, off unless set.

Each server process grants its share of the rate by itself, for callers are spread over them by
chance; or all processes, on all machines, count in one storage that the settings name.
"""

from __future__ import annotations

import logging
import math
import time
from typing import Final

from fastapi import Request
from limits import RateLimitItem, parse
from limits.aio.storage import MemoryStorage, Storage
from limits.aio.strategies import SlidingWindowCounterRateLimiter
from limits.errors import StorageError
from limits.storage import storage_from_string

from service.api.problems import Declined
from service.api.settings import Settings

_LOG: Final = logging.getLogger("service.api")
_NAME: Final = "takeoff"
_PATIENCE: Final = 0.25
"""Seconds that the storage has for an answer: a slow one must not make every request slow."""
_AGAIN_SECONDS: Final = 5.0
"""How long a storage that failed is left alone."""


class Quota:
    """What callers have left of `rate`, one of `workers` server processes counting.

    `storage` is where all of them count, if there is one. While it fails, each grants its share.
    """

    def __init__(self, rate: str, workers: int, storage: Storage | None = None) -> None:
        whole = parse(rate)
        share = type(whole)(math.ceil(whole.amount / workers), whole.multiples)
        self._own = _Window(share, MemoryStorage(), " to this server process")
        self._common = None if storage is None else _Window(whole, storage, "")
        self._not_before = 0.0

    async def spend(self, caller: str) -> dict[str, str]:
        """Count one request; gives what is left as headers. Raises Declined (429)."""
        if self._common is not None and time.monotonic() >= self._not_before:
            try:
                return await self._common.spend(caller)
            except StorageError as fault:
                self._not_before = time.monotonic() + _AGAIN_SECONDS
                why = type(fault.storage_error).__name__
                _LOG.error("rates cannot be counted together (%s): each process counts", why)
        return await self._own.spend(caller)


class _Window:
    """A rate, and where it is counted."""

    def __init__(self, rate: RateLimitItem, storage: Storage, told: str) -> None:
        self._rate = rate
        self._limiter = SlidingWindowCounterRateLimiter(storage)
        self._told = f"This caller may send {rate}{told}"

    async def spend(self, caller: str) -> dict[str, str]:
        granted = await self._limiter.hit(self._rate, _NAME, caller)
        stats = await self._limiter.get_window_stats(self._rate, _NAME, caller)
        seconds = max(1, math.ceil(stats.reset_time - time.time()))
        headers = {
            "RateLimit-Policy": f'"default";q={self._rate.amount};w={self._rate.get_expiry()}',
            "RateLimit": f'"default";r={stats.remaining};t={seconds}',
        }
        if not granted:
            raise Declined(
                "TooMany", f"{self._told}: send again in {seconds} s.",
                headers={**headers, "Retry-After": str(seconds)},
            )  # fmt: skip
        return headers


def quota_of(settings: Settings) -> Quota | None:
    """What the settings say, if they set a rate. Raises ConfigurationError for a bad storage."""
    if not settings.rate:
        return None
    storage = _storage(settings.rate_storage) if settings.rate_storage else None
    return Quota(settings.rate, settings.workers, storage)


def _storage(address: str) -> Storage:
    made = storage_from_string(
        f"async+{address}", wrap_exceptions=True, implementation="redispy",
        socket_timeout=_PATIENCE, socket_connect_timeout=_PATIENCE,
    )  # fmt: skip
    assert isinstance(made, Storage)
    return made


async def spend_once_more(request: Request) -> None:
    """One of many that a request asks for spends what it would alone; the request paid the first.

    Raises Declined (429).
    """
    scope = request.scope
    if "spend" in scope and scope.setdefault("many", 0) > 0:
        await scope["spend"]()
    scope["many"] = scope.get("many", 0) + 1
