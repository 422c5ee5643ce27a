"""The marks of a strapped layer on its surface's page."""

from __future__ import annotations

from service.products.course_marks import course_marks
from service.products.cut_across import Slice
from service.products.drawing import DrawnLayer, DrawnPiece, Joint, Mark, station_text, width_text
from service.products.kinds.strapping.records import LaidStraps, PlacedStraps, Strapping
from service.products.saw_rows import told_bevels
from service.units.writing import tape_size


def draw(placed: PlacedStraps, unit: str) -> DrawnLayer:
    """Straps, their splices and their lines, in the surface's own frame."""
    layer = placed.laid
    frame, straps = layer.detail.frame, layer.detail.straps
    marks: list[Mark] = [
        DrawnPiece((frame.ring_back(one.shape.outer),), row.label, size=width_text(row.cut, unit))
        for one, row in zip(straps, placed.pieces, strict=True)
    ]
    of = {row.id: row for row in placed.pieces}
    for joint in placed.joints:
        row = of[joint.between[0]]
        start, end = (frame.back((joint.at, v)) for v in (row.near, row.far))
        marks.append(Joint(start, end, station_text(joint.at, unit)))
    reaches = ((one.line, one.low, one.high) for one in straps)
    marks += course_marks(layer.courses, reaches, frame, unit, layer.task.surface)
    product = layer.task.product
    cut = Slice("butt", product.thickness, product.id)
    notes = (*_notes(layer, unit), *told_bevels(one for row in placed.pieces for one in row.work))
    return DrawnLayer(layer.task.layer_id, "strapping", tuple(marks), notes, cut)


def _notes(layer: LaidStraps, unit: str) -> tuple[str, ...]:
    rules, strapping = layer.task.rules, layer.detail
    return (
        f"Straps of {layer.task.product.id}: {len(strapping.lines)} lines{_pairs(strapping)}, "
        f"{len(strapping.straps)} pieces; at most {tape_size(rules.strap_spacing, unit)} on centre",
        "Splices lie on framing, those of neighbouring lines apart",
        f"Fasteners at each crossing: {rules.strap_fasteners}; as many on each side of a splice",
    )


def _pairs(strapping: Strapping) -> str:
    """How many of the lines are two straps side by side, in words."""
    if len(strapping.pairs) == len(strapping.lines):
        return ", each two side by side"
    return f", {len(strapping.pairs)} of them two side by side" if strapping.pairs else ""
