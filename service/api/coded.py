"""Answers in fewer bytes: zstd or gzip, by what the client says that it reads (RFC 9110, 12.5.3).

Their tags are weak, so they hold for every coding. No body has a secret beside what its caller
sent, neither key nor cookie, so its length gives nothing away (the attack called BREACH).
"""

from __future__ import annotations

from typing import Final

from starlette.types import ASGIApp
from starlette_compress import CompressMiddleware, add_compress_type

from service.api.batches import MEDIA as LINES
from service.api.problems import MEDIA as PROBLEM
from service.compute import CSV, DXF

LEAST_BYTES: Final = 1_000
"""What is smaller goes in one packet as it is."""

_ZSTD: Final = 3
_GZIP: Final = 1
"""Half the time of the library's own level for a seventh more bytes."""

for _media in (PROBLEM, CSV, DXF, "application/openmetrics-text"):
    add_compress_type(_media)
add_compress_type(LINES, streaming=True)  # each line is sent as soon as it is there


def coded(app: ASGIApp) -> ASGIApp:
    """`app`, its answers coded where that makes them smaller and the client takes it."""
    return CompressMiddleware(
        app, minimum_size=LEAST_BYTES, brotli=False, zstd_level=_ZSTD, gzip_level=_GZIP
    )
