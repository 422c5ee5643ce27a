"""Reading a body: type, coding and declared size first, then the bytes with a limit and a clock."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Callable, Sequence
from typing import Final

from starlette.requests import ClientDisconnect, Request

from service.api.problems import Declined, too_large

JSON: Final = "application/json"
_TYPE: Final = re.compile(
    r"([a-z]+/[a-z-]+)[ \t]*(?:;[ \t]*(?:charset=([\"']?)utf-?8\2|header=present)?[ \t]*)*",
    re.IGNORECASE,
)


def check_head(
    request: Request,
    most: int,
    types: Sequence[str] = (JSON,),
    over: Callable[[int], Declined] = too_large,
) -> str:
    """Refuse by the headers alone a body that would not be read: 415, 413.

    `most` is in bytes, and `over` tells of more. Gives the type, one of `types`. Raises Declined.
    """
    coding = request.headers.get("content-encoding", "identity").strip().lower()
    if coding not in ("", "identity"):
        raise Declined(
            "WrongType",
            "Send the body without Content-Encoding: no coding is read.",
            headers={"Accept-Encoding": "identity"},
        )
    found = _TYPE.fullmatch(request.headers.get("content-type", "").strip())
    media = found[1].lower() if found else ""
    if media not in types:
        raise Declined(
            "WrongType",
            f"The body must have Content-Type {' or '.join(types)}, in UTF-8.",
            headers={"Accept": ", ".join(types)},
        )
    declared = request.headers.get("content-length", "0").strip()
    if len(declared) > 12 or not declared.isascii() or int(declared or 0) > most:
        raise over(most)
    return media


async def read(request: Request, most: int, seconds: float) -> bytes:
    """The body, at most `most` bytes, arrived within `seconds`. Raises Declined: 413, 408."""
    body = bytearray()
    try:
        async with asyncio.timeout(seconds):
            async for chunk in request.stream():
                body += chunk
                if len(body) > most:
                    raise too_large(most)
    except TimeoutError:
        raise Declined(
            "TooSlow",
            f"The body must arrive within {seconds:g} s.",
            headers={"Connection": "close"},
        ) from None
    except ClientDisconnect:
        raise Declined("Interrupted", "The client left.") from None
    return bytes(body)
