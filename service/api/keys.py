"""Who may ask, and how often: bearer keys and a rate for each caller. Both are off unless set.

Only digests of keys are in the settings. A key is 32 random bytes, so one round of SHA-256 is
enough: there is nothing to guess. `python -m service key NAME` makes one.
"""

from __future__ import annotations

import hashlib
import hmac
import math
import secrets
import time
from collections.abc import Awaitable, Callable
from typing import Final

from fastapi import Request
from limits import RateLimitItem, parse
from limits.storage import MemoryStorage
from limits.strategies import SlidingWindowCounterRateLimiter

from service.api.problems import Declined
from service.api.settings import Settings

_SCHEME: Final = "bearer"
_NEEDED: Final = "Send a known key: `Authorization: Bearer <key>`."
_WATCHING: Final = "Send a key of TAKEOFF_METRICS_KEYS: `Authorization: Bearer <key>`."
_CHALLENGE: Final = {"WWW-Authenticate": 'Bearer realm="takeoff"'}


def made() -> tuple[str, str]:
    """A new key, and its digest for TAKEOFF_KEYS."""
    key = secrets.token_urlsafe(32)
    return key, digest(key)


def digest(key: str) -> str:
    """SHA-256 of a key, in hexadecimal."""
    return hashlib.sha256(key.encode("utf-8", errors="surrogateescape")).hexdigest()


class Keys:
    """The callers that are known, by the digests of their keys.

    `needed` is what others are told.
    """

    def __init__(self, entries: tuple[str, ...], needed: str = _NEEDED) -> None:
        self._needed = needed
        self._digests = dict(entry.split(":") for entry in entries)

    def caller(self, authorization: str | None) -> str:
        """The name of the caller. Raises Declined (401).

        Every digest is compared to its end, so the time tells nothing about which was near.
        """
        scheme, _, key = (authorization or "").partition(" ")
        given = digest(key.strip())
        found = [name for name, known in self._digests.items() if hmac.compare_digest(known, given)]
        if scheme.lower() != _SCHEME or not found:
            raise Declined("KeyNeeded", self._needed, headers=_CHALLENGE)
        return found[0]


class Quota:
    """How many requests each caller may send: a sliding window, kept by this server process.

    Callers are spread over the processes by chance, so each grants its share of the rate.
    """

    def __init__(self, rate: str, workers: int) -> None:
        whole = parse(rate)
        share = math.ceil(whole.amount / workers)
        self._item: RateLimitItem = type(whole)(share, whole.multiples)
        self._limiter = SlidingWindowCounterRateLimiter(MemoryStorage())

    def spend(self, caller: str) -> dict[str, str]:
        """Count one request; gives what is left as headers. Raises Declined (429)."""
        granted = self._limiter.hit(self._item, caller)
        stats = self._limiter.get_window_stats(self._item, caller)
        seconds = max(1, math.ceil(stats.reset_time - time.time()))
        headers = {
            "RateLimit-Policy": f'"default";q={self._item.amount};w={self._item.get_expiry()}',
            "RateLimit": f'"default";r={stats.remaining};t={seconds}',
        }
        if not granted:
            raise Declined(
                "TooMany", f"This caller may send {self._item} to this server process.",
                headers={**headers, "Retry-After": str(seconds)},
            )  # fmt: skip
        return headers


def gate(settings: Settings) -> Callable[[Request], Awaitable[None]]:
    """A dependency that lets a request through, or raises Declined: 401, 429.

    It comes before the body is read. The caller's name goes into the log, never the key.
    """
    keys = Keys(settings.keys) if settings.keys else None
    quota = Quota(settings.rate, settings.workers) if settings.rate else None

    async def check(request: Request) -> None:
        caller = request.client.host if request.client else "unknown"
        if keys is not None:
            caller = keys.caller(request.headers.get("authorization"))
            request.scope["caller"] = caller
        if quota is not None:
            request.scope["quota"] = quota.spend(caller)

    return check


def watching(settings: Settings) -> Callable[[Request], Awaitable[None]]:
    """A dependency that lets who may watch the service read /metrics, or raises Declined (401).

    Watching has keys of its own and spends nothing of a rate: what stands there is the operator's,
    and he must see most when callers are told to wait.
    """
    keys = Keys(settings.metrics_keys, _WATCHING)
    is_open = not settings.metrics_keys and not settings.keys

    async def check(request: Request) -> None:
        if not is_open:
            keys.caller(request.headers.get("authorization"))

    return check
