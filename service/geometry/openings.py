"""Openings in a surface: as drawn, as cut, and how long their edges are."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from service.errors import Fault, TradeRefused
from service.geometry.offsets import grown
from service.geometry.plane import difference, intersection, touches_edge, union, without_needles
from service.geometry.rings import Polygon, Region, Ring, around
from service.units.once import once
from service.units.ticks import INCH

Fixture: TypeAlias = Literal["can_light", "heavy"]

LEAST_LAP = 3 * INCH // 8
"""How far a ring or flange must lap the boards, on each side (5.1)."""


@dataclass(frozen=True)
class Opening:
    """A hole: as drawn, and as cut, grown by `out` (its clearance and saw gap, `gap` alone).

    `flange` is the width of the ring that covers the cut, 0 without one. `diameter` is that of a
    round opening, 0 for any other, `fixture` what hangs in it, and `ring` the product that trims
    it.
    """

    id: str
    drawn: Region
    cut: Region
    flange: int
    out: int
    crosses_edge: bool
    pointer: str
    diameter: int = 0
    fixture: Fixture | None = None
    ring: str | None = None
    gap: int = 0

    @property
    def lap(self) -> int:
        """How far the flange reaches beyond the cut edge, ticks; under 0 without one."""
        return self.flange - self.out

    @property
    def spare(self) -> int:
        """How much further the flange laps the boards than it must, ticks (5.3)."""
        return max(0, self.lap - LEAST_LAP)

    @once
    def cover(self) -> Region:
        """What the flange covers and still laps the boards beyond, empty if that is nothing."""
        if self.lap <= LEAST_LAP:
            return ()
        return union(grown(one.outer, self.flange - LEAST_LAP) for one in self.drawn)

    def left_in(self, parts: Region) -> Opening | None:
        """The opening of what is left of a surface; None where `parts` have nothing of it (5.1).

        It may reach beyond them, as beyond an outline.
        """
        if not without_needles(intersection(self.cut, parts)):
            return None
        crosses = self.crosses_edge or touches_edge(self.drawn, parts)
        return replace(self, crosses_edge=crosses)


def opening_of(
    opening_id: str,
    ring: Ring,
    cut: Ring | None,
    out: int,
    flange: int,
    outline: Ring,
    pointer: str,
) -> Opening:
    """An opening checked against its outline: one that lies wholly outside is refused.

    `cut` is the ring as cut where it is known (a wider circle); otherwise `ring` grows by `out`.
    """
    whole_outline = (Polygon(outline),)
    drawn = (Polygon(ring),)
    if not intersection(drawn, whole_outline):
        raise TradeRefused(
            Fault(
                "opening-outside",
                f"opening {opening_id} lies outside the outline: check its position",
                pointer,
                rule="1.1",
            )
        )
    made = grown(ring, out) if cut is None else (Polygon(cut).cleaned,)
    return Opening(
        opening_id, drawn, made, flange, out, touches_edge(drawn, whole_outline), pointer
    )


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
