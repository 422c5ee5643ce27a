"""Rows of surfaces and of what is laid on them before stock is chosen: tables of the answer.

Lengths are in ticks, areas in half square ticks (`service.schemas.columns`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from service.geometry.rings import Point
from service.products.rows import Rip
from service.schemas.columns import (
    PLAIN,
    Area,
    Count,
    Degrees,
    Flag,
    Inside,
    Length,
    Named,
    Number,
    Place,
    Rings,
    Text,
    computed,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BesideRow:
    """An edge of a surface of which the request says what it lies beside."""

    start: Annotated[Place, Named("from"), "Its first corner, the surface at the left hand."]
    end: Annotated[Place, Named("to")]
    beside: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceRow:
    """One surface in true size."""

    surface: Text
    type: Text
    support: Annotated[
        Text, "What a member behind it is called: joist, rafter, stud, lookout, framing member."
    ]
    gross: Area
    openings: ClassVar[Area] = computed(lambda row: row.gross - row.net)
    net: Area
    gaps: ClassVar[Area] = computed(lambda row: row.net - row.installed)
    installed: Area
    perimeter: Length
    outline: Annotated[tuple[Place, ...], "Corners as seen facing the finished side."]
    beside: Annotated[
        tuple[BesideRow, ...], "What its edges lie beside, seen alike; of those that were said."
    ] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerRow:
    """One layer of a surface: which way it runs, and what it covers."""

    surface: Text
    layer: Text
    kind: Text
    product: Text
    direction: Annotated[
        Degrees,
        "Degrees of its length facing the finished side, 0 up to 180 (a little below 0 "
        "where a taper turned it): the direction used.",
    ]
    origin: Annotated[
        Place,
        "The point [x, y] of the surface at station 0 along and 0 across, in the plane "
        "of its `outline`: station u along and v across is at origin + u * along + v * across.",
    ]
    along: Annotated[tuple[Number, ...], "Unit vector [x, y] of the way that stations run along."]
    across: Annotated[tuple[Number, ...], "Unit vector [x, y] of the way that stations across run."]
    crosses: Annotated[
        tuple[Count, ...],
        "Numbers (`members`) of the members that its length crosses, in the order in "
        "which `bearing` of a joint counts them; none where it runs with the members.",
    ]
    installed: Area
    courses: Count
    pieces: Count
    crossings: Annotated[Count, "Pieces on members: one for each member that each piece touches."]


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberRow:
    """One member that stands behind a part of a surface."""

    surface: Text
    member: Annotated[
        Count,
        "Its number, as findings name it: from 1 on, from the left or, of members that "
        "lie level, from below. Those that stand behind no part of the outline have no row.",
    ]
    start: Inside[Point]
    end: Inside[Point]
    line: ClassVar[
        Annotated[
            tuple[Place, ...],
            "The two ends [x, y] of its centre line, as far as it lies behind the outline: "
            "the outermost ones where the outline is in parts along it.",
        ]
    ] = computed(lambda row: (row.start, row.end))
    thickness: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class RegionRow:
    """One connected part of what a layer may be laid on: what openings as cut leave of it."""

    surface: Text
    layer: Text
    region: Annotated[
        Count,
        "Its number, by which runs and pieces name it: from 1 on, from the left, then from below, "
        "as seen facing the finished side.",
    ]
    area: Annotated[Area, "With the gaps at its edges."]
    low: Annotated[
        Place, Named("from"), "The lowest stations [along, across] of the layer that it reaches."
    ]
    high: Annotated[Place, Named("to"), "The highest ones."]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningRow:
    """One opening of a surface, and what is cut for it in one layer."""

    surface: Text
    layer: Text
    opening: Text
    drawn: Annotated[
        Rings,
        "Rings of corners [x, y], true size, facing the finished side, of what of it "
        "lies in the outline; a ring in another is no part of it.",
    ]
    cut: Annotated[
        Rings,
        "Rings of what is cut, within the outline: with its clearance and saw gap, "
        "with the openings that it merges with, with legs of boards too narrow to stay, and with "
        "what ends leave open that are square under a ring.",
    ]
    merged_with: Annotated[tuple[Text, ...], "The other openings of the same cut."]
    courses: Annotated[
        tuple[Count, ...],
        "Courses, rows or widths that it cuts by more than 1/64 in across; none where "
        "it lies in the gap at a wall.",
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseRow:
    """One course, row of sheets or width of a roll: where its edges lie, and how it is cut."""

    surface: Text
    layer: Text
    course: Count
    bay: Annotated[
        Count | None,
        "Which bay it lies in, where each is laid by itself: from 1 on, in the order of their "
        "courses. None where courses run on from bay to bay, or there is but one.",
    ] = None
    near: Annotated[Length, "Station of the edge nearer to the start."]
    far: Length
    width: Annotated[Length, "Of one that tapers the width between its edges: see `end_widths`."]
    end_widths: Annotated[
        tuple[Length, ...],
        "Where a wall out of parallel tapers it: its width at the low and at the high end of its "
        "length. None otherwise.",
    ] = ()
    from_wall: Annotated[
        tuple[Length, ...],
        "Where it tapers: from the rough wall that tapers it, square to the boards, to its other "
        "edge, the line that is snapped, at the low and at the high end of its length.",
    ] = ()
    rip: Annotated[Rip, "The edge ripped off: by its joint, or by its side where it has none."]
    tongue: Annotated[Literal["near", "far", "none"], PLAIN, "Side on which the tongue is."]
    lap: Annotated[Length, "How far it laps the one before; 0 for boards and sheets."] = 0
    note: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class AlternativeRow:
    """One way of laying the courses, ranked."""

    surface: Text
    layer: Text
    bay: Annotated[
        Count | None,
        "Which bay, where each is laid by itself; those of one are ranked together.",
    ] = None
    rank: Count
    start: Text
    courses: Count
    first: Annotated[Length, "Width of the first course; of wrap that of the roll."]
    last: Annotated[Length, "Width of the last course; of wrap that of the roll."]
    chosen: Flag
    why: Text
