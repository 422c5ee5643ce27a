"""Answers in fewer bytes: zstd or gzip, by what the client says that it reads (RFC 9110, 12.5.3).

Their tags are weak, so they hold for every coding. No body has a secret beside what its caller
sent, neither key nor cookie, so its length gives nothing away (the attack called BREACH).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from time import monotonic
from typing import Final, Protocol, TypeAlias

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
_HELD_SECONDS: Final = 0.5
"""How long parts of an answer may be held back to be coded together."""

for _media in (PROBLEM, CSV, DXF, "application/openmetrics-text"):
    add_compress_type(_media)
add_compress_type(LINES, streaming=True)  # each line is sent as soon as it is there


def coded(app: ASGIApp) -> ASGIApp:
    """`app`, its answers coded where that makes them smaller and the client takes it."""
    made = CompressMiddleware(
        app, minimum_size=LEAST_BYTES, brotli=False, zstd_level=_ZSTD, gzip_level=_GZIP
    )
    for coding in (made._zstd, made._gzip):
        assert coding is not None
        coding.create_encoder = _timely(coding.create_encoder)
    return made


class _Encoder(Protocol):
    """What codes an answer part by part."""

    def feed(self, data: bytes, flush: bool) -> Iterable[bytes]: ...
    def finish(self) -> Iterable[bytes]: ...


_Maker: TypeAlias = Callable[[int], _Encoder]


def _timely(make: _Maker) -> _Maker:
    """The same encoders, which hold nothing back for long."""
    return lambda length: _Timely(make(length))


class _Timely:
    """An encoder for parts that come slowly, as the rows of a sheet do.

    Their reader waits for none much longer than it takes; to flush each would code it by itself.
    """

    def __init__(self, encoder: _Encoder) -> None:
        self._encoder = encoder
        self._flushed = monotonic()

    def feed(self, data: bytes, flush: bool) -> Iterable[bytes]:
        """What can be sent of it and of what came before."""
        now = monotonic()
        is_due = flush or now - self._flushed >= _HELD_SECONDS
        if is_due:
            self._flushed = now
        return self._encoder.feed(data, is_due)

    def finish(self) -> Iterable[bytes]:
        """All that was held back."""
        return self._encoder.finish()
