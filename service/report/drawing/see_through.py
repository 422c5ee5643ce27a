"""All layers of a surface on one page: the outermost in full, the others seen through it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.products.drawing import Behind, Callout, Course, DrawnLayer, DrawnPiece, Mark, Sheet


def stacked(sheet: Sheet) -> DrawnLayer:
    """One layer to be drawn that shows all: the pieces of those behind are dashed outlines.

    What its pieces are cut to is written on the front layer's own page alone.
    """
    *behind, front = sheet.layers
    marks: list[Mark] = [mark for mark in front.marks if not isinstance(mark, Callout)]
    for depth, layer in enumerate(reversed(behind), start=1):
        marks += [Behind(mark.rings, depth) for mark in layer.marks if isinstance(mark, DrawnPiece)]
    names = " on ".join(layer.layer for layer in reversed(sheet.layers))
    notes = (f"All layers, seen through: {names}; each has a page of its own",)
    return DrawnLayer("all", "all", tuple(marks), notes)


def beside(sheet: Sheet) -> Sheet:
    """The sheet whose courses show what was set in before them: it parts their fields."""
    last = len(sheet.layers) - 1
    set_in = [(k, layer) for k, layer in enumerate(sheet.layers) if layer.set_in]
    if not set_in:
        return sheet
    layers = tuple(
        replace(layer, marks=(*_pieces(set_in, k, last), *layer.marks))
        if _has_courses(layer)
        else layer
        for k, layer in enumerate(sheet.layers)
    )
    return replace(sheet, layers=layers)


def _has_courses(layer: DrawnLayer) -> bool:
    return any(isinstance(mark, Course) for mark in layer.marks)


def _pieces(layers: Sequence[tuple[int, DrawnLayer]], before: int, last: int) -> Iterator[Behind]:
    """The pieces of what was set in before a layer, by how many layers back."""
    for k, layer in layers:
        for mark in layer.marks if k < before else ():
            if isinstance(mark, DrawnPiece):
                yield Behind(mark.rings, last - k)
