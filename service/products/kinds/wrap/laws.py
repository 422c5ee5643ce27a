"""The laws of laid wrap (13.1 to 13.3), checked on what was made."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from service.products.kinds.wrap.records import LaidWrap, PlacedWrap, WrapPiece


def violations(placed: PlacedWrap) -> list[str]:
    """Every lap under the one asked for, and end laps that come too near those beside them."""
    laid = placed.laid
    return [f"{laid.task.at}: {law}" for law in _violations(laid, placed.detail)]


def _violations(layer: LaidWrap, pieces: tuple[WrapPiece, ...]) -> Iterator[str]:
    lap, end = layer.task.rules.wrap_lap, layer.task.rules.wrap_end_lap
    for a, b in pairwise(layer.detail.widths):
        shared = min(a.high, b.high) - max(a.low, b.low)
        if shared < lap:
            yield f"width {b.number} laps the one before by less than {lap}"
    for one, two in pairwise(pieces):
        if one.strip is two.strip and one.high - two.low != end:
            yield f"piece {two.id} does not lap the one before by {end}"
    yield from _near(pieces, layer.task.rules.end_lap_offset)


def _near(pieces: tuple[WrapPiece, ...], offset: int) -> Iterator[str]:
    """End laps of neighbouring widths that are less than `offset` ticks apart (13.1)."""
    ends: dict[int, list[int]] = defaultdict(list)
    for one, two in pairwise(pieces):
        if one.strip is two.strip:
            ends[one.strip.width].append(one.high)
    for width, own in ends.items():
        for at in own:
            if any(abs(at - other) < offset for other in ends.get(width + 1, ())):
                yield f"the end lap of width {width} at {at} is too near one of the next width"
