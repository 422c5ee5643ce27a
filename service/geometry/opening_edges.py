"""How long the edge of an opening is inside a surface, as it is cut."""

from __future__ import annotations

from service.geometry.plane import difference, intersection, touches_edge
from service.geometry.rings import Region, around
from service.geometry.surface import Opening


def edge_of(opening: Opening, surface: Region) -> int:
    """Length of an opening's edge as cut (ticks) inside the surface: a door has none at the floor.

    As cut: the layer is cut back with clearance and saw gap, and what goes round goes round that.
    """
    if not touches_edge(opening.cut, surface):
        return length_of(opening.cut)
    # The surface's edge beside the opening counts once in either part, the opening's in both.
    parts = (*difference(surface, opening.cut), *intersection(surface, opening.cut))
    return (length_of(parts) - length_of(surface)) // 2


def length_of(region: Region) -> int:
    """Length of all edges of a region, ticks."""
    return sum(around(ring) for part in region for ring in part.rings)
