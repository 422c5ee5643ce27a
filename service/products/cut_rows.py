"""Rows of what is bought and cut: sticks, rolls and sheets; each is a table of the answer.

Lengths are in ticks (`service.schemas.columns`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from service.schemas.columns import (
    HALF_SQUARE_TICKS,
    TICKS,
    Box,
    Count,
    Flag,
    Inside,
    Length,
    PieceId,
    Text,
    computed,
)


def _stick_ticks(row: StickRow) -> dict[str, int]:
    return {
        "length": row.length,
        "pieces": sum(row.cuts) - sum(row.laps),
        "kerf": row.kerf,
        "end_trim": row.end_trim,
        "offcut": row.offcut,
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class StickRow:
    """One bought stick or roll and what is cut from it, in cutting order."""

    stick: Text
    product: Text
    length: Length
    pieces: tuple[PieceId, ...]
    cuts: Annotated[tuple[Length, ...], "Cut length of each piece, same order."]
    beside: Annotated[
        tuple[tuple[PieceId, ...], ...],
        "Other pieces ripped from the same board as each piece, none of them longer; same order.",
    ]
    laps: Annotated[
        tuple[Length, ...],
        "How far each piece but the first lies over the one before it, where one slanted cut parts "
        "both; empty where no cut is shared.",
    ] = ()
    kerfs: Count
    kerf: Annotated[Length, "Length that all saw cuts take."]
    end_trim: Length
    offcut: Annotated[Length, "What is left of it."]
    kept: Annotated[Flag, "Whether the offcut is long enough to keep."]
    owned: Annotated[Flag, "Whether it is the caller's own, and not bought."] = False
    ticks: ClassVar[
        Annotated[dict[str, int], TICKS, "length, pieces, kerf, end_trim, offcut: exact."]
    ] = computed(_stick_ticks)

    @property
    def all_pieces(self) -> tuple[str, ...]:
        """Every piece that comes from it."""
        return (*self.pieces, *(name for names in self.beside for name in names))


def _sheet_areas(row: SheetRow) -> dict[str, str]:
    def twice(boxes: tuple[Box, ...]) -> str:
        return str(2 * sum(length * width for _, _, length, width in boxes))

    return {
        "sheet": str(2 * row.length * row.width),
        "pieces": twice(row.boxes),
        "kerf": str(row.kerf),
        "kept": twice(row.kept),
        "waste": twice(row.waste),
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One bought sheet, where its pieces lie in it, and the through-cuts that part them."""

    sheet: Text
    product: Text
    length: Length
    width: Length
    pieces: tuple[PieceId, ...]
    boxes: Annotated[
        tuple[Box, ...],
        "Place of each piece, same order: low corner along and across, length, width.",
    ]
    steps: Annotated[tuple[Text, ...], "The through-cuts in order, in words."]
    kept: Annotated[tuple[Box, ...], "Offcuts worth keeping, as boxes."]
    waste: Annotated[tuple[Box, ...], "Other offcuts, as boxes."]
    kerf: Inside[int]
    """Twice the area that the cuts take."""

    owned: Annotated[Flag, "Whether it is the caller's own, and not bought."] = False

    half_square_ticks: ClassVar[
        Annotated[
            dict[str, str],
            HALF_SQUARE_TICKS,
            "sheet, pieces, kerf, kept, waste: twice the areas in square ticks, as strings "
            "of digits: exact, they add up.",
        ]
    ] = computed(_sheet_areas)
