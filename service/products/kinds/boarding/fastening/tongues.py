"""Where along a notch a piece has no tongue for a blind nail (18.3)."""

from __future__ import annotations

from service.layout.runs import NOTHING, SNAPPED
from service.products.kinds.boarding.records import BoardPiece, Boards


class Tongueless:
    """The notches in the tongue's side of a piece, and what they leave of that edge (stations)."""

    def __init__(self, boards: Boards, piece: BoardPiece) -> None:
        course = boards.course(piece.run)
        side = 1 if course.starts_low else 0
        edge = course.high if course.starts_low else course.low
        self._notches = [
            (one.low - NOTHING, one.high + NOTHING)
            for one in piece.run.cutouts
            if one.effect == "notch" and not one.legs[side]
        ]
        self._kept = [
            (min(a[0], b[0]) - SNAPPED, max(a[0], b[0]) + SNAPPED)
            for polygon in (piece.shape if self._notches else ())
            for a, b in zip(polygon.outer, polygon.outer[1:] + polygon.outer[:1], strict=True)
            if max(abs(a[1] - edge), abs(b[1] - edge)) <= NOTHING
        ]

    def at(self, station: int) -> bool:
        """Whether a notch took the tongue at a station."""
        notched = any(low <= station <= high for low, high in self._notches)
        return notched and not any(low <= station <= high for low, high in self._kept)
