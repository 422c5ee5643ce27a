"""Shims as they are drawn: the thickness at each place, on the page of what lies on the members."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.geometry.rings import rectangle
from service.products.drawing import Callout, DrawnLayer, Mark, station_text, width_text
from service.products.layer import AnyLaid
from service.products.shim_rows import ShimRow
from service.units.ticks import INCH
from service.units.writing import counted

HALF = 7 * INCH
"""How far from its place a thickness is written at most: nearer than the next member."""


def with_shims(drawn: DrawnLayer, rows: Sequence[ShimRow], support: str, unit: str) -> DrawnLayer:
    """The layer with the shims that lie under it, each thickness written at its place (1.5)."""
    if not rows:
        return drawn
    note = f"Shims on the {support}s: {counted(len(rows), 'places')}, each with its thickness"
    return replace(
        drawn,
        marks=(*drawn.marks, *_marks(rows, support, unit)),
        notes=(*drawn.notes, note),
    )


def lies_on_shims(layers: Sequence[AnyLaid]) -> str:
    """The layer of a surface that lies on its members: what offers bearings, or the first."""
    straps = (one for one in layers if one.offered.bearings)
    return next(straps, layers[0]).task.at


def _marks(rows: Sequence[ShimRow], support: str, unit: str) -> Iterator[Mark]:
    for row in rows:
        (x, y), thick = row.at, width_text(row.shim, unit)
        ring = rectangle(x - HALF, y - HALF, x + HALF, y + HALF)
        where = f"{support} {row.member} at {station_text(row.along, unit)}"
        yield Callout(row.at, ring, thick, f"shim {thick}, {where}")
