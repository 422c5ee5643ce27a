"""What the kind keeps of a layer of box beams: as it is laid, and with its pieces."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal, TypeAlias

from service.geometry.frame import Frame
from service.geometry.rings import Point, Polygon, Region, Ring, clean
from service.layout.beam_lines import BeamLine, Sizes
from service.layout.bearings import BearingLine
from service.products.goods.lumber.spec import LumberProduct
from service.products.kinds.box_beams.rulings import Task
from service.products.layer import LaidLayer, Placed

Meets: TypeAlias = Literal["wall", "butted", "mitred"]
"""How an end of a segment meets what lies there: a wall, a beam's face, or a cross of mitres."""

Bevel: TypeAlias = Literal["none", "one edge", "both edges"]
"""Which long edges of a part are ripped at 45 degrees."""

EndLine: TypeAlias = tuple[Point, ...]
"""An end from its near to its far edge: how far it lies behind its furthest point, and where across
the beam (ticks)."""

PartName: TypeAlias = Literal["near side", "bottom", "far side", "core"]

LETTERS: dict[PartName, str] = {"near side": "n", "bottom": "b", "far side": "f", "core": "c"}
"""How parts are told apart in the names of their pieces."""


@dataclass(frozen=True, slots=True)
class Section:
    """A beam cut across, in ticks: over all, and what each of its skins is ripped to.

    A `half` beam lies along a wall and has one side. `bevels` are those of a side and of the
    bottom, and `set_up` is how far the bottom's face lies above the lowest edge.
    """

    width: int
    drop: int
    thickness: int
    side: int
    bottom: int
    core: int
    half: bool
    bevels: tuple[Bevel, Bevel]
    set_up: int = 0

    def shows(self, part: PartName) -> int:
        """What of a part is in view, across (20.2): outside, and the edges that corners leave.

        Butted, one skin of each corner shows its lower edge, and of a bottom that is set up the
        inside of the sides down to it; mitred, none does.
        """
        if part == "core":
            return 0
        edges = 0 if "none" not in self.bevels else self.thickness
        if self.bottom < self.width:
            return self.bottom if part == "bottom" else self.side + edges + self.set_up
        sides = 1 if self.half else 2
        return self.bottom + sides * edges if part == "bottom" else self.side


@dataclass(frozen=True, slots=True)
class LaidSet:
    """Beams of one direction, in a frame of their own: u along them, v across.

    `asked` is its number among the sets of the request. `full` and `half` are the sections of its
    beams and half beams.
    """

    asked: int
    direction: Fraction
    frame: Frame
    sizes: Sizes
    lines: tuple[BeamLine, ...]
    full: Section
    half: Section
    through: bool

    def section(self, line: BeamLine) -> Section:
        """The section of one of its beams."""
        return self.full if line.wall is None else self.half

    def blocked(self, line: BeamLine) -> BeamLine:
        """What the core of a beam takes."""
        own = self.section(line)
        free = own.width - own.core
        return line.within(*((free, free) if own.half else (free // 2, free - free // 2)))


@dataclass(frozen=True, slots=True)
class Segment:
    """A length of a beam between walls and crossings, in the frame of its set.

    `across` are the widths of the beams that its ends meet, 0 at a wall.
    """

    beam: int
    number: int
    line: BeamLine
    shape: Polygon
    meets: tuple[Meets, Meets]
    across: tuple[int, int]

    @property
    def low(self) -> int:
        """Station of its low end, at its furthest point."""
        return self.shape.box[0]

    @property
    def high(self) -> int:
        """Station of its high end."""
        return self.shape.box[1]


@dataclass(frozen=True, slots=True)
class Part:
    """A skin or the core of a segment.

    `low` is where it begins along its beam and `length` what it is cut to, long point to long
    point. `near` and `far` are where its face lies across the beam, the skins unfolded about the
    bottom. `lines` are its ends across that face, and `tilts` those through it: degrees off square,
    above 0 with the long point at the face.
    """

    of: int
    beam: int
    segment: int
    name: PartName
    low: int
    length: int
    near: int
    far: int
    meets: tuple[Meets, Meets]
    lines: tuple[EndLine, EndLine]
    bevels: Bevel = "none"
    tilts: tuple[float, float] = (0.0, 0.0)

    @property
    def high(self) -> int:
        """Where it ends along its beam."""
        return self.low + self.length

    @property
    def sides(self) -> tuple[int, int]:
        """Where its face begins and ends across its beam."""
        return self.near, self.far

    @property
    def width(self) -> int:
        """What it is ripped to."""
        return self.far - self.near

    @property
    def label(self) -> str:
        """Beam, segment and part, as its pieces are named."""
        return f"{self.beam}.{self.segment}{LETTERS[self.name]}"

    def ends_of(self, low: int, high: int) -> tuple[EndLine, EndLine]:
        """The ends of a piece of it between two stations: square where it meets another piece."""
        square, (first, last) = square_line(self.near, self.far), self.lines
        return first if low == self.low else square, last if high == self.high else square

    def face(self, low: int, high: int) -> Polygon:
        """What of its face lies between two stations along it."""
        first, last = self.ends_of(low, high)
        start = [(low + deep, v) for deep, v in reversed(first)]
        return Polygon(clean([*((high - deep, v) for deep, v in last), *start]))


def square_line(near: int, far: int) -> EndLine:
    """An end that is cut square across a face."""
    return (0, near), (0, far)


@dataclass(frozen=True, slots=True)
class Beam:
    """One beam from wall to wall: its set, its line, and where it lies in the surface.

    `runs` are the parts of it that lie in the surface, wall to wall, and `hits` the members that
    they cross.
    """

    number: int
    of: int
    line: BeamLine
    section: Section
    runs: tuple[Polygon, ...]
    members: BearingLine
    hits: int


@dataclass(frozen=True, slots=True)
class BoxBeams:
    """Everything laid: the sets, through first, their beams, segments and parts, and the bays.

    Of skins and cores those that are up already are not made.
    `joints` are the stations of joints of skins from sheets by their labels, which do not wait for
    the stock as those of boards do. `core` is the lumber of which cores are cut, with its pointer;
    None where none is named.
    """

    sets: tuple[LaidSet, ...]
    beams: tuple[Beam, ...]
    segments: tuple[Segment, ...]
    skins: tuple[Part, ...]
    cores: tuple[Part, ...]
    bays: Region
    core: tuple[LumberProduct, str] | None
    hidden: dict[int, int]
    joints: Mapping[str, tuple[int, ...]] = field(default_factory=dict)

    def known_by(self, part: Part) -> object:
        """Where a part lies and how it is cut: what of two takeoffs is the same part."""
        frame = self.sets[part.of].frame
        ends = tuple(frame.back((at, v)) for at in (part.low, part.high) for v in part.sides)
        depths = tuple(tuple(deep for deep, _ in line) for line in part.lines)
        return part.name, ends, part.meets, part.bevels, part.tilts, depths

    def without(self, kept: frozenset[object]) -> BoxBeams:
        """The same without the parts that stay."""
        skins, cores = (
            tuple(one for one in parts if self.known_by(one) not in kept)
            for parts in (self.skins, self.cores)
        )
        return replace(self, skins=skins, cores=cores)

    def ring(self, of: int, ring: Ring) -> Ring:
        """A ring in the frame of set `of` in that of the layer, which is the first one's."""
        return ring if of == 0 else clean((v, u) for u, v in ring)


LaidBoxBeams = LaidLayer[Task, BoxBeams]
"""A laid layer of box beams."""

PlacedBoxBeams = Placed[LaidBoxBeams, None]
"""A laid layer of box beams with its pieces."""
