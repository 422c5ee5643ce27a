"""How the ends of the pieces of a layer are cut, and on how many bearings each lies."""

from __future__ import annotations

from typing import NamedTuple

from service.geometry.ends import End, ends_of, from_start
from service.products.kinds.boarding.records import BoardPiece, Boards


class Crosscut(NamedTuple):
    """How the ends of a piece are cut, in words and as cuts, and how many bearings it touches."""

    ends: tuple[str, str]
    cuts: tuple[End, End]
    bearings: int


class Crosscuts:
    """Those of a layer's pieces; such as are rectangles, and alike, are looked at once."""

    def __init__(self, boards: Boards, min_touch: int) -> None:
        self._boards, self._min_touch = boards, min_touch
        self._known: dict[object, Crosscut] = {}

    def of(self, piece: BoardPiece) -> Crosscut:
        """That of a piece."""
        (shape, *others), cut = piece.shape, piece.cut
        if others or not shape.is_plain:
            return self._made(piece)
        course, line = self._boards.course(piece.run), self._boards.line(piece.run)
        alike = (
            shape.box[:2], cut.low, cut.high, cut.need.low_factory, cut.need.high_factory,
            course.starts_low, id(line),
        )  # fmt: skip
        if alike not in self._known:
            self._known[alike] = self._made(piece)
        return self._known[alike]

    def _made(self, piece: BoardPiece) -> Crosscut:
        cut, (low, high) = piece.cut, ends_of(piece.shape)
        line, course = self._boards.line(piece.run), self._boards.course(piece.run)
        return Crosscut(
            (_end(piece, cut.low, low), _end(piece, cut.high, high)),
            from_start((low, high), starts_low=course.starts_low),
            len(line.touched(cut.low, cut.high, self._min_touch)),
        )


def _end(piece: BoardPiece, at: int, end: End) -> str:
    """How an end is cut: square, or mitred or shaped to the edge.

    Beside a notch it is square over what is left of the width.
    """
    need = piece.cut.need
    if (need.low_factory and at == piece.cut.low) or (need.high_factory and at == piece.cut.high):
        return "factory"
    if end.angle == 0:
        return "square"
    return "mitred" if len(piece.shape[0].outer) <= 6 else "shaped"
