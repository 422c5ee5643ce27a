"""What the kind keeps of a layer of sheets: as it is laid."""

from __future__ import annotations

from dataclasses import dataclass

from service.geometry.frame import Frame
from service.geometry.plane import difference
from service.geometry.rings import Region, reaches
from service.layout.bearings import Bearing, BearingLine
from service.layout.panel_runs import Joints
from service.layout.runs import Course, Laid, Run
from service.products.kinds.sheathing.arranging import Arrangement
from service.products.kinds.sheathing.row_seams import RowSeam, midway, seams_of
from service.products.kinds.sheathing.rulings import Task
from service.products.layer import LaidLayer, Placed
from service.products.opening_rows import Cut


@dataclass(frozen=True, slots=True)
class SheetPiece:
    """One placed piece: where it lies along its row, and its shape in stations.

    `run` names the connected part of its row, the `of`th that was laid; an opening that takes a
    whole piece out parts it in two. `sawn` is the shape before openings are cut into it in place.
    """

    id: str
    run: str
    of: int
    low: int
    high: int
    sawn: Region
    shape: Region


@dataclass(frozen=True, slots=True)
class Sheets:
    """What the kind keeps of a laid layer for supplying, fastening and drawing.

    `framed` are the openings with straight sides, along which members may stand; `holes` what is
    cut for the openings, those that touch in one. Of `seats`, members that run with the sheets,
    `added` are not there yet: nailers behind seams that no member bears. The first row may be
    `begun` with an offcut of the last one of another surface.
    """

    frame: Frame
    laid: Laid
    bearings: tuple[Bearing, ...]
    lines: tuple[BearingLine, ...]
    seats: tuple[int, ...]
    added: frozenset[int]
    joints: tuple[Joints, ...]
    pieces: tuple[SheetPiece, ...]
    openings: Region
    framed: Region
    holes: tuple[Cut, ...]
    gap: int
    edges: str
    rules: Arrangement
    begun: bool = False

    @property
    def along_framing(self) -> bool:
        """Whether the sheets run with the members: seams, not ends, are on them."""
        return not self.bearings

    def run(self, piece: SheetPiece) -> Run:
        """The run of a piece."""
        return self.laid.runs[piece.of]

    def row(self, piece: SheetPiece) -> Course:
        """The row of a piece."""
        return self.laid.courses[self.run(piece).course - 1]

    def ends(self, *, openings: bool) -> list[tuple[int, int, int]]:
        """Every end joint: its station, and from where to where across it runs.

        With `openings` what is cut out at openings is left out.
        """
        return [
            end
            for run, joints in zip(self.laid.runs, self.joints, strict=True)
            for end in self.ends_of(run, joints, openings=openings)
        ]

    def ends_of(self, run: Run, joints: Joints, *, openings: bool) -> list[tuple[int, int, int]]:
        """The end joints of one run, as `ends` has those of all."""
        cut = self.openings if openings else ()
        return [
            (at, near, far)
            for polygon in (difference((run.polygon,), cut) if joints else ())
            for at in joints
            for near, far in reaches(polygon, at, 0)
        ]

    def seams(self, *, openings: bool) -> list[RowSeam]:
        """Where rows meet; with `openings` what is cut out at openings is left out."""
        return seams_of(self.laid, self.openings if openings else ())

    def middle(self, seam: RowSeam) -> int:
        """The station across of a seam between rows, in the middle of its gap."""
        return midway(self.laid.course(seam.row), self.laid.course(seam.row + 1))

    def line(self, piece: SheetPiece) -> BearingLine:
        """The members as a piece's row meets them."""
        return self.lines[self.run(piece).course - 1]


LaidSheets = LaidLayer[Task, Sheets]
"""A laid layer of sheets."""

PlacedSheets = Placed[LaidSheets, None]
"""A laid layer of sheets with its pieces."""
