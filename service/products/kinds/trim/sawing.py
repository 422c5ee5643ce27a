"""What is done to each piece at the saw: mitres, copes, scarfs, and the rip of a corner board."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from service.geometry.walls import mitre
from service.products.kinds.trim.records import LaidTrim, TrimEnd, TrimLength
from service.products.kinds.trim.section import angle_of_joints
from service.products.saw_rows import SawRow

Side = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a length by its number in it, of so many, and what it is cut to (ticks)."""

    of: TrimLength
    number: int
    count: int
    cut: int


def cut_of(piece: Piece, side: int, lapped: float) -> str:
    """How the end of a piece at the start (0) or the end (1) of its wall is cut.

    Two pieces of it meet `lapped` degrees off square.
    """
    end = _end(piece, side)
    if end is None:
        return "scarfed" if lapped else "square"
    return end.cut


def _end(piece: Piece, side: int) -> TrimEnd | None:
    """The end of the length that is an end of a piece; None where it is lapped by another piece."""
    outermost = 0 if side == 0 else piece.count - 1
    return piece.of.ends[side] if piece.number == outermost else None


def saw_rows(layer: LaidTrim, piece: Piece) -> tuple[SawRow, ...]:
    """All that is done to a piece once it is cut to length, its left end first."""
    sides = (0, 1) if layer.detail.start_is_left else (1, 0)
    named: tuple[tuple[int, Side], ...] = ((sides[0], "left"), (sides[1], "right"))
    rows = [row for side, name in named for row in _at(layer, piece, side, name)]
    return (*_ripped(layer, piece.cut), *rows)


def _at(layer: LaidTrim, piece: Piece, side: int, name: Side) -> Iterator[SawRow]:
    end = _end(piece, side)
    if end is None:
        angle = angle_of_joints(layer.task)
        if angle:
            # The left piece is hung first: its long point is at the back, and the next laps it.
            edge: Literal["back", "front"] = "back" if name == "right" else "front"
            over = mitre(layer.task.product.thickness, angle)
            yield SawRow(do="scarf", end=name, edge=edge, length=over, angle=angle)
    elif end.meets == "wall corner" and end.cut != "square":
        is_mitre = end.cut == "mitred"
        yield SawRow(
            do="bevel" if is_mitre else "cope",
            end=name,
            edge="front" if is_mitre and end.adds > 0 else "back",
            length=mitre(layer.task.product.thickness, end.turn / 2),
            angle=end.turn / 2,
        )
    elif end.off:
        yield SawRow(
            do="cope" if end.cut == "coped" else "angle",
            end=name,
            edge="back" if end.off > 0 else "front",
            length=mitre(layer.detail.wide, end.off),
            angle=abs(end.off),
        )


def _ripped(layer: LaidTrim, cut: int) -> Iterator[SawRow]:
    """A corner board that butts against the other is narrower by its thickness (17.7)."""
    if layer.task.layer.board == "butting":
        wide = layer.detail.wide
        yield SawRow(do="rip", edge="back", from_left=0, length=cut, widths=(wide, wide))
