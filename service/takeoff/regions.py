"""In which region of its ground each run and piece lies, whatever the kind that placed it."""

from __future__ import annotations

from dataclasses import replace

from service.geometry.regions import number_in
from service.geometry.rings import Polygon, Region, rectangle, twice_signed
from service.products.layer import AnyPlaced
from service.products.rows import PieceRow


def in_regions(placed: AnyPlaced) -> AnyPlaced:
    """The placed layer with the region of each piece and run.

    A run lies in the first of the regions that its pieces name.
    """
    ground = placed.laid.task.ground
    if len(ground.regions) < 2:
        return placed
    regions = [placed.laid.frame.region((one,)) for one in ground.regions]
    pieces = tuple(replace(one, region=number_in(regions, _shape(one))) for one in placed.pieces)
    first: dict[str, int] = {}
    for piece in pieces:
        first[piece.run] = min(piece.region, first.get(piece.run, piece.region))
    runs = tuple(replace(run, region=first[run.id]) for run in placed.runs)
    return replace(placed, runs=runs, pieces=pieces)


def _shape(piece: PieceRow) -> Region:
    """What a piece covers, in stations; the box of one whose ends meet in a point all along."""
    shapes = tuple(Polygon(ring) for ring in piece.rings if twice_signed(ring) > 0)
    if shapes:
        return shapes
    near, far = sorted((piece.near, piece.far))
    return (Polygon(rectangle(piece.low, near, piece.high, far)),)
