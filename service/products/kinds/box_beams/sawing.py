"""What is done to each piece of a part at the saw: its rip, its bevels, its ends (16.1, 16.4)."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees
from typing import Final, Literal

from service.products.kinds.box_beams.part_ends import deepest, through
from service.products.kinds.box_beams.records import EndLine, LaidBoxBeams, Part
from service.products.saw_rows import SawRow

BEVEL: Final = 45.0
"""Degrees of an edge that is mitred along its length (16.1)."""

Side = Literal["left", "right"]


def sawn(
    layer: LaidBoxBeams,
    part: Part,
    low: int,
    high: int,
    blank: int | None,
    *,
    squared: bool = False,
) -> tuple[SawRow, ...]:
    """All that is done to a piece once it is cut to length.

    A skin is ripped from a `blank`, a core from none; where edges are to be `squared` both are
    sawn. The piece lies face up with its far edge away.
    """
    sides: tuple[Side, Side] = ("left", "right")
    if layer.detail.sets[part.of].frame.left_handed:
        sides = ("right", "left")
    thick = layer.task.product.thickness
    rows = [] if blank is None else list(_ripped(part, high - low, blank, squared=squared))
    for side, line, tilt in zip(
        sides, part.ends_of(low, high), tilts_of(part, low, high), strict=True
    ):
        rows += _across(part, side, line)
        rows += _through(side, tilt, thick)
    return tuple(sorted(rows, key=lambda row: (row.do != "rip", row.end)))


def tilts_of(part: Part, low: int, high: int) -> tuple[float, float]:
    """The ends of a piece through its thickness: square where it meets another piece."""
    first, last = part.tilts
    return first if low == part.low else 0.0, last if high == part.high else 0.0


def end_words(part: Part, low: int, high: int) -> tuple[str, str]:
    """How the ends of a piece are cut."""
    first, last = (
        "mitred" if deepest(line) or tilt else "square"
        for line, tilt in zip(part.ends_of(low, high), tilts_of(part, low, high), strict=True)
    )
    return first, last


def _ripped(part: Part, length: int, blank: int, *, squared: bool) -> Iterator[SawRow]:
    if part.width == blank and part.bevels == "none":
        return
    yield SawRow(
        do="rip", edge="both" if squared or part.bevels == "both edges" else "far",
        from_left=0, length=length, widths=(part.width, part.width),
        angle=None if part.bevels == "none" else BEVEL,
    )  # fmt: skip


def _across(part: Part, side: Side, line: EndLine) -> Iterator[SawRow]:
    """An end across the face: at an angle along its wall, to a point, or to a line of more cuts."""
    (near, _), (far, _) = line[0], line[-1]
    if len(line) > 2:
        yield SawRow(do="shape", end=side)
    elif near != far:
        yield SawRow(
            do="angle", end=side, edge="far" if near > far else "near", length=abs(near - far),
            angle=_off_square(abs(near - far), part.width),
        )  # fmt: skip


def _off_square(deep: int, across: int) -> float:
    return round(degrees(atan2(deep, across)), 3)


def _through(side: Side, tilt: float, thick: int) -> Iterator[SawRow]:
    """A side's end through its thickness: mitred at a crossing, or along its wall."""
    if tilt:
        yield SawRow(do="bevel", end=side, edge="front" if tilt > 0 else "back",
                     length=through(tilt, thick), angle=abs(tilt))  # fmt: skip
