"""What the kind keeps of a layer of trim: its lengths, and where their pieces begin and end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from service.geometry.frame import Frame
from service.geometry.walls import Strip, Wall
from service.layout.scarfs import Line
from service.products.goods.moulding.needs import Sawn, Wanted
from service.products.kinds.trim.rulings import Task
from service.products.layer import LaidLayer, Placed
from service.products.trim_rows import Meets

Cut = Literal["square", "mitred", "coped"]

STOPS = frozenset({"inside corner", "wall"})
"""What a piece is pushed against: one between two of them is cut to fit, and not longer (0.2)."""


@dataclass(frozen=True, slots=True)
class TrimEnd:
    """One end of a length: what it `meets`, how it is cut, and what it `adds` (ticks).

    `off` is the cut in degrees off square, above 0 where its long point is at the back edge, `turn`
    by how much the way turns there. An inside corner may be `butted`: its seam is square then.
    """

    meets: Meets
    cut: Cut
    turn: float
    off: float
    adds: int
    butted: bool = False

    @property
    def seam(self) -> float:
        """The line that shows, in degrees off square: a cope shows as a mitre does."""
        return self.turn / 2 if self.meets == "inside corner" and not self.butted else self.off


@dataclass(frozen=True, slots=True)
class TrimLength:
    """One length of trim, from the start of its wall to its end; the surface is at its left.

    `wanted` is its line, with the places at which it may be joined; `borne` says that a bearing
    carries each of them. Its back edge lies `out` beyond its wall, as that of a corner board that
    laps the end of the other (ticks).
    """

    number: int
    wall: Wall
    ends: tuple[TrimEnd, TrimEnd]
    opening: str | None
    wanted: Wanted
    borne: bool
    out: int = 0

    @property
    def known_by(self) -> object:
        """Where it lies and how it ends: what of two takeoffs is the same length."""
        return self.wall.points, self.ends

    @property
    def line(self) -> Line:
        """The line that is cut to make it."""
        return self.wanted.line

    def strips(self, wide: int, joints: Sequence[int] = ()) -> tuple[Strip, ...]:
        """What each of its pieces covers of the surface, `wide` across."""
        first, last = (0 if one.seam else one.adds for one in self.ends)
        wall = self.wall.lengthened(first, last).moved_out(self.out)
        return wall.strips(
            wide, (self.ends[0].seam, self.ends[1].seam), [first + at for at in joints]
        )


@dataclass(frozen=True, slots=True)
class Trim:
    """All lengths of a layer in its `frame`; `wide` is how far they reach over the surface (ticks).

    Those that are `up` already are not made. `start_is_left` says that the start of a wall is its
    left end as one sees it.
    """

    frame: Frame
    lengths: tuple[TrimLength, ...]
    up: tuple[TrimLength, ...]
    wide: int
    start_is_left: bool


LaidTrim = LaidLayer[Task, Trim]
"""A laid layer of trim."""

PlacedTrim = Placed[LaidTrim, tuple[Sawn, ...]]
"""A laid layer of trim with its pieces, length by length as they were sawn."""
