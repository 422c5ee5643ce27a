"""Fasteners of a board at each crossing, by pattern, place in the field and width (18.3)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from service.units.ticks import INCH

Pattern = Literal["blind", "blind_face", "face", "lap", "clip", "deck_face", "glue_pin"]
Where = Literal["first", "field", "last"]

NARROW = 2 * INCH
"""A rip under this splits with more than one fastener across it."""

WIDE = 4 * INCH
"""Up to this one fastener across a board is enough."""


@dataclass(frozen=True, slots=True)
class AtCrossing:
    """Fasteners of one board at one bearing: hidden in the tongue, through the face, and clips."""

    blind: int
    face: int
    clip: int = 0

    def without_tongue(self) -> AtCrossing:
        """The same where the tongue is lost: what it would hide goes through the face."""
        return AtCrossing(0, self.blind + self.face, self.clip)

    def with_near_edge(self) -> AtCrossing:
        """The same where no board holds the near edge, as of a first course: each edge has one."""
        return AtCrossing(self.blind, max(self.face, 2 - self.blind - self.clip), self.clip)


def at_crossing(
    pattern: Pattern, where: Where, width: int, per_crossing: int | None = None
) -> AtCrossing:
    """How many a board of `width` ticks gets at each bearing, its tongue whole.

    `per_crossing` is the number of the face pattern where it does not go by width. The last
    course cannot be reached behind its tongue. A lapped board has its fastener clear of the board
    beneath, and the last course a second one at its top edge, which nothing covers. A clip holds
    the far edge of each board but the last; the first has its near edge faced. Glued boards are
    pinned as if the glue were not there. Deck boards have two, whatever their width.
    """
    if pattern == "clip":
        return AtCrossing(0, 0 if where == "field" else 1, 0 if where == "last" else 1)
    if pattern == "deck_face":
        return AtCrossing(0, _in(width, 2))
    if pattern in ("face", "glue_pin"):
        return AtCrossing(0, _by_width(width) if per_crossing is None else _in(width, per_crossing))
    if pattern == "lap":
        return AtCrossing(0, 2 if where == "last" else 1)
    if where == "last":
        return AtCrossing(0, 2 if pattern == "blind_face" or width > WIDE else 1)
    return AtCrossing(1, 1 if pattern == "blind_face" or where == "first" else 0)


def _by_width(width: int) -> int:
    """One to 4 in, two to 8 in (as the trade nails a 1 x 6 and a 1 x 8), then three."""
    if width <= WIDE:
        return 1
    return 2 if width <= 2 * WIDE else 3


def _in(width: int, count: int) -> int:
    """`count` across a board that is wide enough for more than one."""
    return 1 if width < NARROW else count
