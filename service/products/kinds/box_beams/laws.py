"""Laws of box beams, checked on each answer: bays and beams are the surface, parts their beams."""

from __future__ import annotations

from collections.abc import Iterator

from service.geometry.plane import union
from service.geometry.rings import Polygon, around, twice_area
from service.products.kinds.box_beams.records import PlacedBoxBeams


def violations(placed: PlacedBoxBeams) -> tuple[str, ...]:
    """Names of the laws that are broken."""
    return (*_bays_and_beams(placed), *_parts(placed))


def _bays_and_beams(placed: PlacedBoxBeams) -> Iterator[str]:
    """Bays and what lies under beams are all of the surface, but for what snapping moved."""
    layer = placed.laid
    detail, whole = layer.detail, layer.task.surface.parts
    under = union(
        [
            (Polygon(detail.sets[beam.of].frame.ring_back(run.outer)),)
            for beam in detail.beams
            for run in beam.runs
        ]
    )
    slack = 8 * sum(around(ring) for one in (*under, *whole) for ring in one.rings)
    if abs(twice_area(detail.bays) + twice_area(under) - twice_area(whole)) > slack:
        yield f"bays and beams of {layer.task.at} are not the surface"


def _parts(placed: PlacedBoxBeams) -> Iterator[str]:
    """The pieces of each part are as long as the part, together."""
    task = placed.laid.task
    lengths: dict[str, int] = {}
    for piece in placed.pieces:
        lengths[piece.run] = lengths.get(piece.run, 0) + piece.high - piece.low
    for part in placed.laid.detail.skins:
        if lengths.get(f"{task.at}.{part.label}") != part.length:
            yield f"the pieces of {task.at}.{part.label} do not make it up"
