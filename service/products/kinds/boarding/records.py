"""What the kind keeps of a layer of boards: as it is laid, and with its pieces."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from service.geometry.frame import Frame
from service.geometry.rings import Line, Region
from service.joints.records import Cut, JointRules
from service.layout.bearings import Bearing, BearingLine
from service.layout.ranking import Ranked
from service.layout.runs import SNAPPED, Course, Laid, Run
from service.products.goods.board.board import Board
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.walls import Perimeter
from service.products.kinds.boarding.ways import Ways
from service.products.layer import LaidLayer, Placed
from service.products.rows import PieceRow


@dataclass(frozen=True, slots=True)
class Beside:
    """Boards that are up beside those that are laid, by course: from where to where, and joints.

    A joint is where two of them meet, or where one meets a board that is laid.
    """

    spans: Mapping[int, tuple[tuple[int, int], ...]]
    joints: Mapping[int, tuple[int, ...]]

    def meets(self, course: int, at: int) -> bool:
        """Whether a run of a course that ends at a station meets a board that is up there."""
        return any(abs(at - end) <= SNAPPED for span in self.spans.get(course, ()) for end in span)

    def closes(self, course: int, low: int, high: int) -> bool:
        """Whether a board must be dropped in: the next course's boards are up beside it (21.4)."""
        return any(a < high and b > low for a, b in self.spans.get(course + 1, ()))


NOTHING_BESIDE: Final = Beside({}, {})


@dataclass(frozen=True, slots=True)
class Boards:
    """What the kind keeps of a laid layer for supplying, fastening and drawing.

    `lines` are the members as each course meets them, by its number, and `panel_joints` the
    stations at which it crosses joints of the panels behind. `openings` are the ids of
    those that each hole is cut for, by the hole's name; `flanged` the names of the holes whose
    edges a flange covers all round. `perimeter` are the walls around, `extent` is from wall to wall
    along the boards. `rows` are the stations of the rows of blocks behind boards that run with the
    members; `on_rows` says that they bear on nothing else.
    """

    board: Board
    frame: Frame
    region: Region
    laid: Laid
    bearings: tuple[Bearing, ...]
    lines: Mapping[int, BearingLine]
    perimeter: Perimeter
    extent: int
    panel_joints: Mapping[int, tuple[int, ...]]
    openings: Mapping[str, tuple[str, ...]]
    flanged: frozenset[str] = frozenset()
    beside: Beside = NOTHING_BESIDE
    rows: tuple[int, ...] = ()
    on_rows: bool = False

    @property
    def along_framing(self) -> bool:
        """Whether the boards run with the members and bear on no line, but on a panel alone."""
        return not self.bearings

    def line(self, run: Run) -> BearingLine:
        """The members as a run's course meets them."""
        return self.lines[run.course]

    def course(self, run: Run) -> Course:
        """The course of a run."""
        return self.laid.course(run.course)

    def low_is_left(self, run: Run) -> bool:
        """Whether a run's low end is the left one of its boards, face up and the tongue away."""
        return self.course(run).starts_low != self.frame.left_handed

    def panel_joints_at(self, run: Run) -> tuple[int, ...]:
        """Stations at which a run's course crosses joints of the panels behind it."""
        return self.panel_joints[run.course]


@dataclass(frozen=True, slots=True)
class Field:
    """What is laid by itself: all that a layer has, or a bay of it (5.10).

    `task` is the layer on that, `bay` its number among several. Its courses are laid as `chosen`
    among the `ways`, of which the `found` were compared. The wall at which the first one lies is
    `first_covered` or not, and `last_gap` (ticks) is what the last one has to slide on in.
    """

    task: Task
    bay: int | None
    region: Region
    laid: Laid
    ways: Ways
    chosen: Ranked
    found: tuple[Ranked, ...]
    first_covered: bool
    last_gap: int


@dataclass(frozen=True, slots=True)
class BoardPiece:
    """One placed piece before it has a stick: its row's parts, its shape and its run.

    It is laid `wild` by so many ticks, which are cut off it along a line (3.17).
    """

    id: str
    run: Run
    cut: Cut
    shape: Region
    tongue_lost: bool
    groove_lost: bool
    wild: int = 0


BorneAt: TypeAlias = Literal["wall", "opening", "hip", "edge"]
"""Where an end lies that backing bears; an edge is one that does not run with the members."""


@dataclass(frozen=True, slots=True)
class BorneEnd:
    """An end that backing bears: whether it is its run's low one, where, and its line (x, y)."""

    run: Run
    low: bool
    at: BorneAt
    line: Line


@dataclass(frozen=True, slots=True)
class Pieces:
    """The pieces of one layer and the rules that they keep (easings applied).

    `snap` is what squaring them moved, in half square ticks; `borne` are the ends of runs that
    backing bears.
    """

    all: tuple[BoardPiece, ...]
    snap: int
    rules: JointRules
    rows: tuple[PieceRow, ...] = ()
    borne: tuple[BorneEnd, ...] = ()


LaidBoards = LaidLayer[Task, Boards]
"""A laid layer of boards."""

PlacedBoards = Placed[LaidBoards, Pieces]
"""A laid layer of boards with its pieces."""
