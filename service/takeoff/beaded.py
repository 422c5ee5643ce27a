"""How far beads of sealant and glue run along what a layer has (20.4, 20.5)."""

from __future__ import annotations

from math import hypot
from typing import Literal

from service.errors import Finding
from service.geometry.openings import edge_of
from service.geometry.rings import Line
from service.products.layer import AnyPlaced
from service.products.remarks import Remarks
from service.units.ticks import whole
from service.units.writing import total_length

Along = Literal["edges", "openings", "pieces", "joints", "members"]


def length_along(one: AnyPlaced, along: Along, said: Remarks) -> tuple[int, str]:
    """Length of one bead (ticks), and what was measured."""
    surface = one.laid.task.surface
    if along == "edges":
        return _edges(one, said), "edges of the surface without a gap"
    if along == "openings":
        length = sum(edge_of(opening, surface.parts) for opening in surface.openings)
        return length, "round each opening as it is cut"
    if along == "pieces":
        return sum(row.cut for row in one.pieces), "length of all pieces"
    widths = {row.id: abs(row.far - row.near) for row in one.pieces}
    if along == "joints":
        return sum(widths[row.between[0]] for row in one.joints), "across each end joint"
    crossed = sum(row.bearings * widths[row.id] for row in one.pieces)
    return crossed, "across each piece on every member that it crosses"


def _edges(one: AnyPlaced, said: Remarks) -> int:
    """The perimeter, less the gaps in which the layer moves: those are never filled (20.4)."""
    task = one.laid.task
    gaps = sum(_long(gap.line) for gap in one.laid.gaps)
    if gaps:
        said.find(
            Finding(
                "bead-in-gap",
                task.at,
                f"{total_length(gaps, task.unit)} of its edges have a gap in which the layer "
                "moves: no sealant is counted there, for a moulding covers it",
                rule="20.4",
                measure=gaps,
            )
        )
    return max(0, task.surface.perimeter - gaps)


def _long(line: Line) -> int:
    (a, b), (c, d) = line
    return whole(hypot(c - a, d - b))
