"""What the kind keeps of a layer of straps: as it is laid."""

from __future__ import annotations

from dataclasses import dataclass

from service.geometry.frame import Frame
from service.geometry.rings import Polygon
from service.geometry.wall_corners import BevelledCorner
from service.layout.bearings import BearingLine
from service.layout.strap_lines import StrapLine
from service.products.kinds.strapping.rulings import Task
from service.products.layer import LaidLayer, Placed


@dataclass(frozen=True, slots=True)
class Strap:
    """One piece of a strap: its shape in stations, in line number `line` and run `run` of it.

    `crossed` are the places of the members that it touches in the bearings of its line, those
    `spliced` on which it meets the next piece.
    """

    id: str
    line: int
    run: int
    shape: Polygon
    crossed: range
    spliced: frozenset[int]

    @property
    def low(self) -> int:
        """The station of its low end."""
        return self.shape.box[0]

    @property
    def high(self) -> int:
        """The station of its high end."""
        return self.shape.box[1]


@dataclass(frozen=True, slots=True)
class Strapping:
    """What the kind keeps of a laid layer: its lines by ascending station, and their pieces.

    `bearings` are the members as each line meets them, `pairs` the numbers of lines that are two
    straps side by side. Those that end along `corners` are bevelled there.
    """

    frame: Frame
    lines: tuple[StrapLine, ...]
    bearings: tuple[BearingLine, ...]
    straps: tuple[Strap, ...]
    pairs: frozenset[int]
    corners: tuple[BevelledCorner, ...]


LaidStraps = LaidLayer[Task, Strapping]
"""A laid layer of straps."""

PlacedStraps = Placed[LaidStraps, None]
"""A laid layer of straps with its pieces."""
