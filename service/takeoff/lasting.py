"""Ids of pieces that last: a piece is named by where it lies, not by its place in a list (21.1)."""

from __future__ import annotations

from collections.abc import Container, Mapping
from itertools import count

from service.takeoff.pipeline import Takeoff
from service.units.ticks import sixty_fourths

Names = Mapping[str, str]
"""The lasting id of each piece, by its surface, layer, course, run and number in the run."""


def lasting(takeoff: Takeoff) -> Names:
    """The id of each piece: surface, layer, low edge of its course and low end, in 1/64 in.

    So it is in metric jobs too. What a change does not move keeps its id; a second piece that
    begins at the same point of a layer, or where one that is up has the id, has `~2` behind it.
    """
    edges = {
        (row.surface, row.layer, row.course): min(row.near, row.far)
        for layer in takeoff.laid
        for row in layer.courses
    }
    standing = (one.task.standing for one in takeoff.job.layers)
    taken = {name for one in standing if one is not None for name in one.names}
    names = {}
    for piece in (piece for one in takeoff.placed for piece in one.pieces):
        own = min(piece.near, piece.far)
        near = edges.get((piece.surface, piece.layer, piece.course), own)
        name = _free(
            f"{piece.surface}.{piece.layer}.{sixty_fourths(near)}.{sixty_fourths(piece.low)}", taken
        )
        taken.add(name)
        names[piece.id] = name
    for row in takeoff.backing:
        names.update((one, one) for one in row.pieces)
    return names


def _free(name: str, taken: Container[str]) -> str:
    """The name, or the first numbered one that is not taken."""
    if name not in taken:
        return name
    numbered = (f"{name}~{number}" for number in count(2))
    return next(one for one in numbered if one not in taken)
