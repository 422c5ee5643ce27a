"""The marks of a wrapped layer on its surface's page."""

from __future__ import annotations

from itertools import pairwise

from service.geometry.plane import intersection
from service.geometry.rings import Polygon, rectangle
from service.products.course_marks import course_marks
from service.products.cut_across import Slice
from service.products.drawing import DrawnLayer, DrawnPiece, Joint, Lap, Mark, station_text
from service.products.kinds.wrap.records import LaidWrap, PlacedWrap, Wrap
from service.products.kinds.wrap.records import WrapPiece as Unrolled
from service.units.writing import tape_size


def draw(placed: PlacedWrap, unit: str) -> DrawnLayer:
    """Pieces, laps and widths of one layer, in the surface's own frame."""
    layer = placed.laid
    wrap: Wrap = layer.detail
    pieces: tuple[Unrolled, ...] = placed.detail
    rows = {row.id: row for row in placed.pieces}
    back = wrap.frame.back
    marks: list[Mark] = []
    for piece in pieces:
        roll = rows[piece.id].stick.rpartition("-")[2]
        for polygon in _shown(wrap, piece):
            ring = wrap.frame.ring_back(polygon.outer)
            marks.append(DrawnPiece((ring,), piece.id.split(".", 2)[2], size=f"roll {roll}"))
    lap = f"lap {tape_size(layer.task.rules.wrap_lap, unit)}"
    for seam in wrap.seams:
        ends = back((seam.low, seam.at)), back((seam.high, seam.at))
        marks.append(Lap(*ends, lap))
    for a, b in pairwise(pieces):
        if a.strip is b.strip:
            ends = back((a.high, a.zone[2])), back((a.high, a.zone[3]))
            marks.append(Joint(*ends, station_text(a.high, unit)))
    reaches = ((strip.width, strip.low, strip.high) for strip in wrap.strips)
    marks += course_marks(layer.courses, reaches, wrap.frame, unit, layer.task.surface)
    product = layer.task.product
    cut = Slice("film", product.thickness or 0, product.id)
    return DrawnLayer(layer.task.layer_id, "wrap", tuple(marks), _notes(layer, wrap, unit), cut)


def _shown(wrap: Wrap, piece: Unrolled) -> tuple[Polygon, ...]:
    """What of a piece lies on the surface and on no width before."""
    low, high, near, far = piece.zone
    return intersection(
        wrap.bays[piece.strip.bay].outline, (Polygon(rectangle(low, near, high, far)),)
    )


def _notes(layer: LaidWrap, wrap: Wrap, unit: str) -> tuple[str, ...]:
    rules = layer.task.rules
    laps = tape_size(rules.wrap_lap, unit), tape_size(rules.wrap_end_lap, unit)
    caps = tape_size(rules.cap_spacing, unit), tape_size(rules.cap_seam, unit)
    return (
        f"Widths of {layer.task.product.id}: {len(wrap.widths)}; side laps {laps[0]}, end laps "
        f"{laps[1]}",
        f"Caps {caps[0]} apart on framing, {caps[1]} along laps and round openings",
        "Wrap is laid over openings, then cut",
    )
