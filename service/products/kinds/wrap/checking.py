"""The laws of laid wrap (13.1 to 13.3), checked on what was made."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from service.products.kind import LaidLayer, Supplied

if TYPE_CHECKING:
    from service.products.kinds.wrap.supplying import Piece


def broken(supplied: Supplied) -> list[str]:
    """Every lap under the one asked for, and every strip that does not reach its ends."""
    return [
        f"{layer.task.at}: {law}"
        for layer, pieces in zip(supplied.layers, supplied.details, strict=True)
        for law in _broken(layer, pieces)
    ]


def _broken(layer: LaidLayer, pieces: tuple[Piece, ...]) -> Iterator[str]:
    lap, end = layer.task.rules.get("wrap_lap"), layer.task.rules.get("wrap_end_lap")
    for a, b in pairwise(layer.detail.widths):
        shared = min(a.high, b.high) - max(a.low, b.low)
        if shared < lap:
            yield f"width {b.number} laps the one before by less than {lap}"
    for one, two in pairwise(pieces):
        if one.strip is two.strip and one.high - two.low != end:
            yield f"piece {two.id} does not lap the one before by {end}"
