"""What is said to be up of the first job, held against its pieces (21.1)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.changes.matching import PlacedPiece
from service.errors import Fault, TradeRefused, meant


@dataclass(frozen=True, slots=True)
class UpPart:
    """A part of the first job that is up: what is not said takes in all."""

    pointer: str
    surface: str | None = None
    layer: str | None = None
    courses: tuple[int, int] | None = None
    pieces: tuple[str, ...] | None = None

    def has(self, piece: PlacedPiece) -> bool:
        """Whether a piece lies in the part."""
        row = piece.row
        return (
            self.surface in (None, row.surface)
            and self.layer in (None, row.layer)
            and (self.courses is None or self.courses[0] <= row.course <= self.courses[1])
            and (self.pieces is None or piece.id in self.pieces)
        )


def up_of(pieces: Sequence[PlacedPiece], parts: Sequence[UpPart]) -> frozenset[str]:
    """The pieces that are up, by their names within the takeoff.

    Raises TradeRefused for a part in which there is none, and for ids that are none of it.
    """
    faults = [fault for part in parts for fault in _faults(pieces, part)]
    if faults:
        raise TradeRefused(*faults)
    return frozenset(one.row.id for one in pieces if any(part.has(one) for part in parts))


def _faults(pieces: Sequence[PlacedPiece], part: UpPart) -> list[Fault]:
    known = {one.id for one in pieces}
    unknown = [
        Fault(
            "no-such-piece",
            "no piece of the first job has this id, which is the `id` of the table `pieces`: "
            + meant(name, known),
            f"{part.pointer}/pieces/{k}",
            rule="21.1",
        )
        for k, name in enumerate(part.pieces or ())
        if name not in known
    ]
    if unknown or any(part.has(one) for one in pieces):
        return unknown
    text = "no piece of the first job lies there: check the surface, the layer and the courses"
    return [Fault("nothing-up-there", text, part.pointer, rule="21.1")]
