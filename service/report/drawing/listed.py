"""What finds no room in a drawing, listed over it in columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from service.report.drawing.labels import fitted, width_of

_APART: Final = 5.0
"""Clear paper between two columns, mm."""

_MOST: Final = 12
"""Rows at the most; the takeoff has the rest."""


@dataclass(frozen=True, slots=True)
class Listed:
    """A text and how far in its row it begins, mm."""

    x: float
    text: str


def columns(texts: Sequence[str], room: float) -> list[tuple[Listed, ...]]:
    """The texts in rows of as many equal columns as `room` mm hold, read row by row."""
    if not texts:
        return []
    widest = min(room, max(map(width_of, texts)))
    count = max(1, int((room + _APART) // (widest + _APART)))
    rows = [texts[k : k + count] for k in range(0, len(texts), count)][:_MOST]
    return [
        tuple(Listed(k * (widest + _APART), fitted(text, room)) for k, text in enumerate(row))
        for row in rows
    ]
