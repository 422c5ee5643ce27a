"""Who may ask: bearer keys, off unless set. How often is said in `rates`.

Only digests of keys are in the settings. A key is 32 random bytes, so one round of SHA-256 is
enough: there is nothing to guess. `python -m service key NAME` makes one.
"""

from __future__ import annotations

import hashlib
import hmac
import ipaddress
import secrets
from collections.abc import Awaitable, Callable
from functools import partial
from typing import Final

from fastapi import Request

from service.api.problems import Declined
from service.api.rates import Quota
from service.api.settings import Settings

_SCHEME: Final = "bearer"
CELL_KEY: Final = "key"
"""The parameter of an address that a cell function asks at: it can send no header."""

_NEEDED: Final = "Send a known key: `Authorization: Bearer <key>`."
_IN_CELLS: Final = (
    f"{_NEEDED} A cell of a sheet cannot: it ends its address in `&{CELL_KEY}=<key>`, with a key "
    "for cells, which the operator gives out too."
)
_CELL: Final = (
    f"`{CELL_KEY}` is no key for cells: send one that the operator gave out for them. One that is "
    "sent in a header is none, for an address is kept where others may read it."
)
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


def gate(
    settings: Settings, quota: Quota | None, *, in_address: bool = False
) -> Callable[[Request], Awaitable[None]]:
    """A dependency that lets a request through, or raises Declined: 401, 429.

    With `in_address` a key for cells is taken there as well, as the parameter `key`.

    It comes before the body is read. The caller's name goes into the log, never the key. HEAD asks
    for no work and spends nothing: cells of a spreadsheet send it before each GET.
    """
    needed = _IN_CELLS if in_address else _NEEDED
    keys = Keys(settings.keys, needed) if settings.keys else None
    cells = Keys(settings.cell_keys, _CELL)

    async def check(request: Request) -> None:
        caller = address(request.client.host if request.client else "")
        if keys is not None:
            shown = request.query_params.get(CELL_KEY) if in_address else None
            known, given = (keys, request.headers.get("authorization"))
            if shown is not None:
                known, given = cells, f"{_SCHEME} {shown}"
            caller = known.caller(given)
            request.scope["caller"] = caller
        if quota is not None and not request.scope.get("head"):
            request.scope["quota"] = await quota.spend(caller)
            request.scope["spend"] = partial(quota.spend, caller)

    return check


def address(host: str) -> str:
    """Whom an address stands for: of IPv6 its network of 64 bits, for one caller has all of it."""
    try:
        found = ipaddress.ip_address(host)
    except ValueError:
        return "unknown"
    if found.version == 4:
        return str(found)
    mapped = found.ipv4_mapped
    return str(mapped or ipaddress.ip_network((found, 64), strict=False))


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
