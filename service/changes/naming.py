"""What stays of a piece that is up: what it is from now on, and by which id (21.1)."""

from __future__ import annotations

from dataclasses import replace

from service.geometry.rings import Region, bounds, twice_area
from service.products.rows import PieceRow
from service.products.standing import Stay
from service.units.ticks import sixty_fourths


def as_it_stays(row: PieceRow, stay: Stay) -> PieceRow:
    """The piece as it is from now on."""
    if stay.becomes is not None:
        return stay.becomes
    return row if stay.shape is None else _cut_to(row, stay.shape)


def name_of(name: str, was: PieceRow, now: PieceRow) -> str:
    """The id of what is left of a piece: its own, unless it begins elsewhere."""
    *place, near, low = name.split(".")
    before, after = (min(row.near, row.far) for row in (was, now))
    if (before, was.low) == (after, now.low):
        return name
    near = near if before == after else _parts(after)
    return ".".join([*place, near, low if was.low == now.low else _parts(now.low)])


def _parts(length: int) -> str:
    return str(sixty_fourths(length))


def _cut_to(row: PieceRow, shape: Region) -> PieceRow:
    """A piece in place once it is cut to a shape."""
    low, high, *_ = bounds(shape)
    plain = len(shape) == 1 and shape[0].is_box
    ends = (
        row.ends[0] if low == row.low else "square",
        row.ends[1] if high == row.high else "square",
    )
    return replace(
        row,
        low=low,
        high=high,
        cut=min(row.cut, high - low),
        ends=ends,
        rings=() if plain else tuple(ring for part in shape for ring in part.rings),
        twice_area=twice_area(shape),
    )
