"""Ids of pieces that last: a piece is named by where it lies, not by its place in a list (21.1)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from service.takeoff.pipeline import Takeoff
from service.units.ticks import SIXTY_FOURTH, nearest

Names = Mapping[str, str]
"""The lasting id of each piece, by its surface, layer, course, run and number in the run."""


def lasting(takeoff: Takeoff) -> Names:
    """The id of each piece: surface, layer, low edge of its course and low end, in 1/64 in.

    So it is in metric jobs too. What a change does not move keeps its id; a second piece that
    begins at the same point of a layer has `~2` behind it.
    """
    edges = {
        (row.surface, row.layer, row.course): min(row.near, row.far)
        for layer in takeoff.laid
        for row in layer.courses
    }
    seen: Counter[str] = Counter()
    names = {}
    for piece in (piece for one in takeoff.placed for piece in one.pieces):
        own = min(piece.near, piece.far)
        near = edges.get((piece.surface, piece.layer, piece.course), own)
        name = f"{piece.surface}.{piece.layer}.{_parts(near)}.{_parts(piece.low)}"
        seen[name] += 1
        names[piece.id] = name if seen[name] == 1 else f"{name}~{seen[name]}"
    for row in takeoff.backing:
        names.update((one, one) for one in row.pieces)
    return names


def _parts(length: int) -> int:
    return nearest(length, SIXTY_FOURTH) // SIXTY_FOURTH
