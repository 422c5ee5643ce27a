"""Reading a body: type, coding and declared size first, then the bytes with a limit and a clock."""

from __future__ import annotations

import asyncio
import re
from typing import Final

from starlette.requests import ClientDisconnect, Request

from service.api.problems import Declined

_JSON: Final = re.compile(
    r'application/json[ \t]*(?:;[ \t]*charset="?utf-8"?[ \t]*)?', re.IGNORECASE
)


def check_head(request: Request, most: int) -> None:
    """Refuse by the headers alone a body that would not be read: 415, 413.

    `most` is in bytes. Raises Declined.
    """
    coding = request.headers.get("content-encoding", "identity").strip().lower()
    if coding not in ("", "identity"):
        raise Declined(
            "WrongType", "No content coding is read.", headers={"Accept-Encoding": "identity"}
        )
    if not _JSON.fullmatch(request.headers.get("content-type", "").strip()):
        raise Declined(
            "WrongType",
            "The body must have Content-Type application/json, in UTF-8.",
            headers={"Accept": "application/json"},
        )
    declared = request.headers.get("content-length", "0").strip()
    if len(declared) > 12 or not declared.isascii() or int(declared or 0) > most:
        raise _too_large(most)


async def read(request: Request, most: int, seconds: float) -> bytes:
    """The body, at most `most` bytes, arrived within `seconds`. Raises Declined: 413, 408."""
    body = bytearray()
    try:
        async with asyncio.timeout(seconds):
            async for chunk in request.stream():
                body += chunk
                if len(body) > most:
                    raise _too_large(most)
    except TimeoutError:
        raise Declined(
            "TooSlow",
            f"The body must arrive within {seconds:g} s.",
            headers={"Connection": "close"},
        ) from None
    except ClientDisconnect:
        raise Declined("Interrupted", "The client left.") from None
    return bytes(body)


def _too_large(most: int) -> Declined:
    return Declined("TooLarge", f"A body may have at most {most} bytes.")
