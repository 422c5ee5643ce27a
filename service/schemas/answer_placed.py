"""The tables of the flat answer that say what lies where: enough to draw every layer from them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.schemas.base import Given

Rip = Literal["groove", "tongue", "near", "far", "both", "none"]


class SurfaceRow(Given):
    """One surface in true size."""

    surface: str
    type: str
    gross: float
    openings: float
    net: float
    gaps: float
    installed: float
    perimeter: float
    outline: list[list[float]] = Field(description="Corners as seen facing the finished side.")


class LayerRow(Given):
    """One layer of a surface: which way it runs, and what it covers."""

    surface: str
    layer: str
    kind: str
    product: str
    direction: float = Field(
        description="Degrees of its length facing the finished side, 0 up to 180 (a little below 0 "
        "where a taper turned it): the direction used."
    )
    origin: list[float] = Field(
        description="The point [x, y] of the surface at station 0 along and 0 across, in the plane "
        "of its `outline`: station u along and v across is at origin + u * along + v * across."
    )
    along: list[float] = Field(description="Unit vector [x, y] of the way that stations run along.")
    across: list[float] = Field(
        description="Unit vector [x, y] of the way that stations across run."
    )
    crosses: list[int] = Field(
        description="Numbers (`members`) of the members that its length crosses, in the order in "
        "which `bearing` of a joint counts them; none where it runs with the members."
    )
    installed: float
    courses: int
    pieces: int
    crossings: int = Field(
        description="Pieces on members: one for each member that each piece touches."
    )


class MemberRow(Given):
    """One member that stands behind a part of a surface."""

    surface: str
    member: int = Field(
        description="Its number, as findings name it: from 1 on, from the left or, of members that "
        "lie level, from below. Those that stand behind no part of the outline have no row."
    )
    line: list[list[float]] = Field(
        description="The two ends [x, y] of its centre line, as far as it lies behind the outline: "
        "the outermost ones where the outline is in parts along it."
    )
    thickness: float


class OpeningRow(Given):
    """One opening of a surface, and what is cut for it in one layer."""

    surface: str
    layer: str
    opening: str
    drawn: list[list[list[float]]] = Field(
        description="Rings of corners [x, y], true size, facing the finished side, of what of it "
        "lies in the outline; a ring in another is no part of it."
    )
    cut: list[list[list[float]]] = Field(
        description="Rings of what is cut, within the outline: with its clearance and saw gap, "
        "with the openings that it merges with, and with legs of boards too narrow to stay."
    )
    merged_with: list[str] = Field(description="The other openings of the same cut.")
    courses: list[int] = Field(
        description="Courses, rows or widths that it cuts by more than 1/64 in across; none where "
        "it lies in the gap at a wall."
    )


class CourseRow(Given):
    """One course, row of sheets or width of a roll: where its edges lie, and how it is cut."""

    surface: str
    layer: str
    course: int
    near: float = Field(description="Station of the edge nearer to the start.")
    far: float
    width: float
    rip: Rip = Field(
        description="The edge ripped off: by its joint, or by its side where it has none."
    )
    tongue: Literal["near", "far", "none"] = Field(description="Side on which the tongue is.")
    lap: float = Field(description="How far it laps the one before; 0 for boards and sheets.")
    note: str


class RunRow(Given):
    """One connected part of a course."""

    id: str
    surface: str
    layer: str
    course: int
    near: float
    far: float
    start: float = Field(alias="from", description="Station of the low end, long point.")
    to: float
    length: float
    bearings: int = Field(description="Members that the run crosses.")
    pieces: int
    gap: float = Field(description="Between its pieces; negative where they lap.")


class CutoutRow(Given):
    """A notch or hole in a piece: the box round it, in stations. `shape` has its outline."""

    effect: Literal["notch", "hole"] = Field(
        description="A notch reaches an edge of the piece; of a sheet it may part it in two."
    )
    openings: list[str] = Field(
        description="The openings that it is cut for; none for a step of the outline."
    )
    near: float = Field(description="Station of the side nearer to the start.")
    far: float
    start: float = Field(alias="from")
    to: float


class PieceRow(Given):
    """One placed piece.

    Where `shape` is empty it is the rectangle between `from`, `to`, `near` and `far`. A roll's
    piece is that whole rectangle too: what shows of it lies in the outline and under no piece of
    the layer before it in this list, and what `openings` take is cut in place.
    """

    id: str = Field(
        description="Surface, layer, and in 1/64 in from the one origin the low edge of its course "
        "and its low end: a piece that a change does not move keeps it. A further piece that "
        "begins at the same point has `~2`, `~3` behind it."
    )
    label: str = Field(
        description="Its name on paper and in drawings: course, run, and number in the run."
    )
    surface: str
    layer: str
    region: int = Field(description="Part of the surface that it lies in, from 1 on.")
    product: str
    course: int
    run: str = Field(description="Id of its run.")
    near: float
    far: float
    start: float = Field(alias="from")
    to: float
    length: float = Field(description="Cut length: long point to long point, rounded to cut_to.")
    width: float | None = Field(
        description="Width that a sheet's piece is cut to; null where its course gives it."
    )
    ends: list[str] = Field(description="Low end, high end: square, mitred, shaped or factory.")
    long_points: list[float] = Field(
        description="Station of the outermost point of the low and of the high end as cut."
    )
    short_points: list[float] = Field(
        description="Station of the innermost point of the cut at each end, same order: as far in "
        "as its long point where the end is square. A notch or a step beside it is no part of "
        "the cut."
    )
    end_angles: list[float | None] = Field(
        description="Degrees off square of each end, same order, under 90: above 0 where the long "
        "point is on the far edge, below 0 where it is on the near edge; null where the cut is not "
        "one straight line."
    )
    rip: Rip
    notches: int
    holes: int
    cutouts: list[CutoutRow] = Field(
        description="What is cut out of it, beside its ends: none of a roll's piece, which is cut "
        "in place."
    )
    shape: list[list[list[float]]] = Field(
        description="Rings (outer first) of [station along, station across]; empty: rectangle."
    )
    area: float
    bearings: int = Field(description="Members that the piece touches.")
    stick: str = Field(description="Id of its stick, sheet or roll.")
    ticks: int = Field(description="Cut length in ticks.")


class JointRow(Given):
    """One end joint between two pieces of a run."""

    surface: str
    layer: str
    course: int
    between: list[str]
    at: float = Field(description="Station from the one origin of the surface.")
    on: str = Field(
        description="What it lands on: framing, block, sheathing, anywhere, floating, or of a "
        "roll's pieces lap."
    )
    bearing: int | None = Field(
        description="Number of the member it lands on: those that the layer crosses are counted "
        "from 1 along its length (the axis of `at`), from its low end, as `crosses` of the layer "
        "lists them."
    )
    offset_before: float | None = Field(description="To the nearest joint one course before.")
    offset_after: float | None
    offset_repeat: float | None = Field(description="To the nearest joint two courses before.")
