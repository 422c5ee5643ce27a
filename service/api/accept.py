"""Which form of an answer the client wants: `?format=` first, then Accept with its q-values."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from service.api.forms import BY_NAME
from service.api.problems import Declined

_RANGE: Final = re.compile(
    r"\s*([\w!#$&^.+-]+|\*)/([\w!#$&^.+-]+|\*)((?:\s*;\s*[\w-]+\s*=\s*(?:[^;,\"]*|\"[^\"]*\"))*)\s*",
    re.ASCII,
)
_QUALITY: Final = re.compile(r";\s*q\s*=\s*([01](?:\.[0-9]{0,3})?)\s*(?:;|$)", re.IGNORECASE)


def choose(accept: str | None, wanted: str | None, available: Sequence[str]) -> str:
    """The media type to answer with, one of `available` (best first).

    `wanted` is the name of a form and goes before `accept`, an Accept header. Raises Declined (406)
    that lists what exists.
    """
    if wanted is not None:
        if wanted in BY_NAME and BY_NAME[wanted].media in available:
            return BY_NAME[wanted].media
        raise _unavailable(available)
    if accept is None or not accept.strip():
        return available[0]
    ranges = _ranges(accept)
    graded = [(_quality(media, ranges), -place) for place, media in enumerate(available)]
    quality, place = max(graded)
    if quality <= 0:
        raise _unavailable(available)
    return available[-place]


def _ranges(accept: str) -> list[tuple[str, str, float]]:
    """Type, subtype and quality of each range that can be read; the rest is passed over."""
    ranges = []
    for part in accept.lower().split(","):
        if found := _RANGE.fullmatch(part):
            quality = _QUALITY.search(found[3])
            ranges.append((found[1], found[2], float(quality[1]) if quality else 1.0))
    return ranges


def _quality(media: str, ranges: list[tuple[str, str, float]]) -> float:
    """The quality of `media`: that of the nearest range (RFC 9110, 12.5.1), 0 if none fits."""
    kind, subtype = media.split("/")
    fits = [
        ((high != "*") + (low != "*"), quality)
        for high, low, quality in ranges
        if high in (kind, "*") and low in (subtype, "*") and (high != "*" or low == "*")
    ]
    return min(max(fits)[1], 1.0) if fits else 0.0


def _unavailable(available: Sequence[str]) -> Declined:
    return Declined(
        "NotAcceptable",
        "The resource exists as " + ", ".join(available) + ".",
        available=available,
    )
