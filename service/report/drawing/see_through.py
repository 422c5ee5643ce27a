"""All layers of a surface on one page: the outermost in full, the others seen through it."""

from __future__ import annotations

from service.products.drawing import Behind, DrawnLayer, DrawnPiece, Mark, Sheet


def stacked(sheet: Sheet) -> DrawnLayer:
    """One layer to be drawn that shows all: the pieces of those behind are dashed outlines."""
    *behind, front = sheet.layers
    marks: list[Mark] = list(front.marks)
    for depth, layer in enumerate(reversed(behind), start=1):
        marks += [Behind(mark.rings, depth) for mark in layer.marks if isinstance(mark, DrawnPiece)]
    names = " on ".join(layer.layer for layer in reversed(sheet.layers))
    notes = (f"All layers, seen through: {names}; each has a page of its own",)
    return DrawnLayer("all", "all", tuple(marks), notes)
