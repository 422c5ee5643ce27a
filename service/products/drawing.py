"""What a kind hands over to be drawn: one sheet a surface, marks by layer. Plain records only.

Coordinates are integer ticks (1/40 000 mm) in the surface's own frame, as seen facing the
finished side, y up; in the page's directions a kind need not think. Texts are already written;
`station_text` and `width_text` write them as all sheets do. A renderer keeps one table from a
mark's type to its drawing, so a later kind adds a record here and a row there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from service.products.cut_across import Section, Slice
from service.units.ticks import FOOT, MM, nearest
from service.units.writing import feet_inches, inches, millimetres

Point: TypeAlias = tuple[int, int]
"""x, y in ticks."""

Ring: TypeAlias = tuple[Point, ...]
"""Three or more corners, the last joined to the first; not repeated."""


@dataclass(frozen=True, slots=True)
class Paper:
    """What a sheet is drawn on: what it is called, and its size as it lies, in millimetres."""

    name: str
    wide: float
    high: float


LETTER: Final = Paper("letter", 279.4, 215.9)
"""ANSI/ASME Y14.1: 11 in x 8-1/2 in."""

A4: Final = Paper("A4", 297.0, 210.0)
"""ISO 216."""

IMPERIAL: Final = frozenset({"in", "ft"})

Lie: TypeAlias = Literal["level", "upright", "oblique"]

_NEARLY: Final = 4
"""A course that falls by less than 1 in this many of its length lies level, or upright."""


def lie_of_course(start: Point, end: Point) -> Lie:
    """How a course lies on the sheet; those of a field out of square lie level, or upright."""
    wide, high = abs(end[0] - start[0]), abs(end[1] - start[1])
    if high * _NEARLY <= wide:
        return "level"
    return "upright" if wide * _NEARLY <= high else "oblique"


@dataclass(frozen=True, slots=True)
class Member:
    """One support, by its centre line; `label` is written at its low end (its station)."""

    start: Point
    end: Point
    label: str


State: TypeAlias = Literal["as_is", "new", "gone"]
"""What a change makes of a piece."""


@dataclass(frozen=True, slots=True)
class DrawnPiece:
    """One placed piece: its rings (outer first), its label, and whether it is ripped.

    `size` is written under the label where there is room. Of a change its `state` says whether it
    is new, or goes. `line` is the number of the line that is drawn as one, as a beam with all its
    parts is; None where a mark is one piece.
    """

    rings: tuple[Ring, ...]
    label: str
    rip: bool = False
    size: str = ""
    state: State = "as_is"
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Joint:
    """An end joint: the line between two pieces, and its station from the one origin."""

    start: Point
    end: Point
    station_text: str


@dataclass(frozen=True, slots=True)
class Lap:
    """A side lap, or a strip of lumber: the line along its middle, and what to write on it.

    `what` is what the legend calls it.
    """

    start: Point
    end: Point
    text: str = ""
    what: str = "side lap"


@dataclass(frozen=True, slots=True)
class Standing:
    """A nailer, header or block behind the surface, by its centre line.

    `station_text` is how far up it lies, or how far in, from the one origin; `text` what it is.
    """

    start: Point
    end: Point
    station_text: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class CentreLine:
    """The centre line of a beam, by which it is set: no ink of its own, its station in a rail.

    `station_text` says which one it is, and how far up or in it lies, from the one origin.
    """

    start: Point
    end: Point
    station_text: str


@dataclass(frozen=True, slots=True)
class WallMark:
    """Where the far edge of a course meets a wall; `text` is from a corner, along that wall."""

    at: Point
    text: str


@dataclass(frozen=True, slots=True)
class Tapered:
    """A course among courses that a wall out of parallel tapers, at its low and its high end.

    `lines` are from the starting wall, square to the boards, to its far edge; `widths` are its
    own (ticks).
    """

    lines: tuple[int, int]
    widths: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Course:
    """One course: its number and the two ends of its centre line, low end first.

    `at` and `end` are the outermost ends where openings or the outline split the course.
    `near_text` and `far_text` are the stations of its edges, `width_text` the width that shows.
    `tapered` holds where the walls beside the boards are not parallel, and `marks` are on the
    walls of a course that lies oblique to them: its stations can be measured at no wall there.
    """

    number: int
    at: Point
    end: Point
    near_text: str
    far_text: str
    width_text: str
    tapered: Tapered | None = None
    marks: tuple[WallMark, ...] = ()


@dataclass(frozen=True, slots=True)
class Dimension:
    """A measure between two points; the measures of the outline are drawn without being asked."""

    start: Point
    end: Point
    text: str


@dataclass(frozen=True, slots=True)
class Behind:
    """A piece of a layer behind the one that is drawn: its rings, and how many layers back."""

    rings: tuple[Ring, ...]
    depth: int


@dataclass(frozen=True, slots=True)
class Callout:
    """A size of something that is cut, to be written by it: as near to `at` as can be, in `ring`.

    In one line, or in `rows` where those come nearer. Where it finds no room there, or only the
    first of the `rows`, `listed` stands beside the drawing; so it does where it must stand `close`
    to `at`, in the ring of something else, and finds no room there.
    """

    at: Point
    ring: Ring
    text: str
    listed: str
    rows: tuple[str, ...] = ()
    close: bool = False


Mark: TypeAlias = (
    DrawnPiece | Joint | Lap | Standing | CentreLine | Course | Dimension | Behind | Callout
)


@dataclass(frozen=True, slots=True)
class Detail:
    """A drawing of its own beside a layer's, as of something cut across: its rings and its marks.

    `note` says how it is seen. Its measures over all are drawn without being asked.
    """

    title: str
    note: str
    outline: tuple[Ring, ...]
    marks: tuple[Mark, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DrawnLayer:
    """One layer of a surface: its id, its kind, its marks, and notes for whoever builds it.

    `cut` is its slice in a section through the build-up; `details` have a page each. What is
    `set_in` lies beside the layers that follow, not behind them.
    """

    layer: str
    kind: str
    marks: tuple[Mark, ...]
    notes: tuple[str, ...] = ()
    cut: Slice | None = None
    details: tuple[Detail, ...] = ()
    set_in: bool = False


@dataclass(frozen=True, slots=True)
class Match:
    """A line where a long surface is broken on paper: it goes on at the line of the same text."""

    start: Point
    end: Point
    text: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One surface to be drawn.

    `outline` is its rings, outer first; `openings` are (id, ring); `layers` go from the framing
    outward. `view_note` says how it is seen ('seen from below'). `unit` is the request's, and
    `section` what a cut through the build-up needs besides the layers. `matches` are the ends of
    a sheet that is a length of a longer one; `backing` is what must stand behind it, drawn as a
    layer of its own. `known` are edges with what they lie beside, `support` is what a member is
    called. It is drawn on this `paper`.
    """

    surface: str
    title: str
    outline: tuple[Ring, ...]
    openings: tuple[tuple[str, Ring], ...]
    members: tuple[Member, ...]
    layers: tuple[DrawnLayer, ...]
    view_note: str
    unit: str
    section: Section | None = None
    matches: tuple[Match, ...] = ()
    backing: DrawnLayer | None = None
    known: tuple[Member, ...] = ()
    support: str = "member"
    paper: Paper = LETTER


def station_text(ticks: int, unit: str) -> str:
    """A station or an outline measure: `12' 6-1/2"` to 1/16 in, or whole millimetres `3810`."""
    if unit in IMPERIAL:
        return feet_inches(ticks)
    return str(nearest(ticks, MM) // MM)


def mark_text(ticks: int, unit: str, past: str) -> str:
    """A mark as a station; one before the edge that it is measured from as `2" down the wall`."""
    return station_text(ticks, unit) if ticks >= 0 else f"{station_text(-ticks, unit)} {past}"


def length_text(ticks: int, unit: str) -> str:
    """How long a piece is: a short one as a width, one of 2 ft or more as a station."""
    return width_text(ticks, unit) if ticks < 2 * FOOT else station_text(ticks, unit)


def width_text(ticks: int, unit: str) -> str:
    """A width across a board: inches to 1/32 (`4-1/8"`), or millimetres to one decimal."""
    if unit in IMPERIAL:
        return inches(ticks).removesuffix(" in") + '"'
    return millimetres(ticks).removesuffix(" mm")
