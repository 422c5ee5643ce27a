"""What finds no room in a drawing, listed over it in rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from service.report.drawing.labels import fitted, width_of
from service.report.stepped import stepped

_APART: Final = 7.0
"""Clear paper between two texts of a row, mm."""

_MOST: Final = 12
"""Rows at the most; the takeoff has the rest."""


def _alike(texts: Sequence[str], room: float) -> list[str]:
    """With the names of which the same is said in one text, where that fits into a row."""
    said: dict[str, list[str]] = {}
    for text in texts:
        name, colon, what = text.partition(": ")
        said.setdefault(what if colon else text, []).append(name if colon else "")
    found = list[str]()
    for what, names in said.items():
        one = f"{stepped(names)}: {what}"
        if len(names) > 1 and width_of(one) <= room:
            found.append(one)
        else:
            found += [f"{name}: {what}" if name else what for name in names]
    return found


@dataclass(frozen=True, slots=True)
class Listed:
    """A text and how far in its row it begins, mm."""

    x: float
    text: str


def listed_rows(texts: Sequence[str], room: float) -> list[tuple[Listed, ...]]:
    """The texts in their order, as many to a row as `room` mm hold; more than fit are counted.

    What is said of several names alike, as `2.1.1: 3' 10-7/8"`, is said once.
    """
    rows: list[list[Listed]] = []
    right = room
    for text in _alike(texts, room):
        wide = width_of(text)
        if not rows or right + _APART + wide > room:
            rows.append([])
            right = -_APART
        rows[-1].append(Listed(right + _APART, fitted(text, room)))
        right += _APART + wide
    if len(rows) <= _MOST:
        return [tuple(row) for row in rows]
    more = sum(map(len, rows[_MOST - 1 :]))
    told = (Listed(0.0, fitted(f"and {more} more: see the takeoff", room)),)
    return [*(tuple(row) for row in rows[: _MOST - 1]), told]
