"""What must stand behind a surface as it is drawn: a page for the framer, before the layers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from service.geometry.rings import Ring
from service.products.backing_rows import BackingRow
from service.products.drawing import DrawnLayer, Standing, length_text, lie_of_course, station_text
from service.units.writing import counted

BACKING: Final = "backing"
"""What its page is called, as a layer is by its id."""

_ENOUGH: Final = "Counted, not computed: whether it is enough is for the designer."


def backing_drawn(rows: Sequence[BackingRow], outline: Ring, unit: str) -> DrawnLayer | None:
    """The lines that stand behind one surface, and how many are alike; None where none does."""
    if not rows:
        return None
    alike = Counter((row.what, length_text(row.length, unit)) for row in rows)
    listed = ", ".join(f"{counted(count, f'{what}s')} of {length}"
                       for (what, length), count in sorted(alike.items()))  # fmt: skip
    notes = (f"Behind it stand {listed}.", _ENOUGH)
    return DrawnLayer(BACKING, BACKING, tuple(_standing(rows, outline, unit)), notes)


def _standing(rows: Sequence[BackingRow], outline: Ring, unit: str) -> Iterator[Standing]:
    """Each line; of those alike in one row the first says what they are, and how many."""
    low = [min(point[axis] for point in outline) for axis in (0, 1)]
    placed = [(row, _row_of(row, low, unit)) for row in rows]
    in_row = Counter(where for _, where in placed)
    for row, where in placed:
        number, _, station, length = in_row.pop(where, 0), *where
        many = f"{number} x " if number > 1 else ""
        text = f"{many}{row.what} {length}" if number else ""
        yield Standing(row.start, row.end, station, text)


def _row_of(row: BackingRow, low: Sequence[int], unit: str) -> tuple[str, str, str]:
    """What is alike of those in one row: what they are, how far up or in they lie, how long."""
    lie = lie_of_course(row.start, row.end)
    axis = 1 if lie == "level" else 0
    straight = row.start[axis] == row.end[axis]
    station = station_text(row.start[axis] - low[axis], unit) if straight else ""
    return f"{row.what} {lie}", station, length_text(row.length, unit)
