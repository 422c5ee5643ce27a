"""Which side of which bay a length of trim runs along, as one stands facing the finished side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from service.report.printout.rows import Row

BAY: Final = "bay"

_NEAR: Final = 1e-3
"""Within so much, for one and for each of its size, two places in print are one."""


def side_of_bay(row: Row, bays: Sequence[Row]) -> str | None:
    """`bay, bottom`; `bay` where it is no outermost side of one, None where it is none at all."""
    if row["edges"] or row["opening"] is not None or row["across_at"] is not None:
        return None
    own = [bay for bay in bays if bay["bay"] == bay_of(row, bays)]
    sides = [name for bay in own for name in _sides(row, bay)]
    return ", ".join([BAY, *sides[:1]]) if own else None


def bay_of(row: Row, bays: Sequence[Row]) -> int | None:
    """The number of the bay in which a length lies: the smallest that reaches over its ends."""
    over = [bay for bay in bays if all(_lies_in(row[end], bay) for end in ("from", "to"))]
    return min(over, key=lambda bay: (bay["area"], bay["bay"]))["bay"] if over else None


def _sides(row: Row, bay: Row) -> list[str]:
    """On which sides of the box of its bay both its ends lie."""
    sides = {"left": (0, "from"), "right": (0, "to"), "bottom": (1, "from"), "top": (1, "to")}
    return [
        name
        for name, (axis, end) in sides.items()
        if all(_is_near(row[one][axis], bay[end][axis]) for one in ("from", "to"))
    ]


def _lies_in(at: Sequence[float], bay: Row) -> bool:
    low, high = bay["from"], bay["to"]
    return all(
        low[axis] <= at[axis] <= high[axis]
        or _is_near(at[axis], low[axis])
        or _is_near(at[axis], high[axis])
        for axis in (0, 1)
    )


def _is_near(one: float, other: float) -> bool:
    return abs(one - other) <= _NEAR * max(1.0, abs(other) / 100)
