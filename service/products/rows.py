"""Rows of what is placed and fastened; each is a table of the answer (`service.schemas.columns`).

Kinds and forms hand them over by keyword, with lengths in ticks and areas in half square ticks.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, ClassVar, Final, Literal, TypeAlias, get_args

from service.fastening.boards import Pattern
from service.fastening.reach import Reach
from service.geometry.ends import End
from service.products.saw_rows import SawRow
from service.schemas.columns import (
    PLAIN,
    TICKS,
    Area,
    Count,
    Degrees,
    Inside,
    Length,
    Named,
    PieceId,
    Place,
    Rings,
    Text,
    computed,
)

RippedEdge: TypeAlias = Literal["groove", "tongue", "near", "far", "both", "none"]
Rip: TypeAlias = Annotated[RippedEdge, PLAIN]
Effect: TypeAlias = Literal["notch", "hole"]

IN_REGION: Final = (
    "Number of the part of the surface (`regions`) that it lies in: with most of its area, where "
    "it is laid over several and cut in place, as a sheet over an opening."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRow:
    """One connected part of a course."""

    id: Text
    surface: Text
    layer: Text
    region: Annotated[Count, IN_REGION] = 1
    course: Count
    near: Length
    far: Length
    low: Annotated[Length, Named("from"), "Station of the low end, long point."]
    high: Annotated[Length, Named("to")]
    length: ClassVar[Length] = computed(lambda row: row.high - row.low)
    bearings: Annotated[Count, "Members that the run crosses."]
    pieces: Count
    gap: Annotated[Length, "Between its pieces; negative where they lap."] = 0
    bearings_at: Inside[tuple[int, ...] | None] = None
    """Stations at which its pieces may meet; None where they may anywhere."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutoutRow:
    """A notch or hole in a piece: the box round it, in stations. `shape` has its outline."""

    effect: Annotated[
        Effect,
        PLAIN,
        "A notch reaches an edge of the piece; of a sheet it may part it in two.",
    ]
    openings: Annotated[
        tuple[Text, ...], "The openings that it is cut for; none for a step of the outline."
    ]
    near: Annotated[Length, "Station of the side nearer to the start."]
    far: Length
    low: Annotated[Length, Named("from")]
    high: Annotated[Length, Named("to")]


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceRow:
    """One placed piece.

    Where `shape` is empty it is the rectangle between `from`, `to`, `near` and `far`. A roll's
    piece is that whole rectangle too: what shows of it lies in the outline and under no piece of
    the layer before it in this list, and what `openings` take is cut in place.
    """

    id: Annotated[
        PieceId,
        Place,
        "Surface, layer, and in 1/64 in from the one origin the low edge of its course "
        "and its low end: a piece that a change does not move keeps it. A further piece that "
        "begins at the same point has `~2`, `~3` behind it.",
    ]
    label: ClassVar[
        Annotated[Text, "Its name on paper and in drawings: course, run, and number in the run."]
    ] = computed(lambda row: row.id.removeprefix(f"{row.surface}.{row.layer}."))
    surface: Text
    layer: Text
    region: Annotated[Count, IN_REGION] = 1
    product: Text
    course: Count
    run: Annotated[Text, "Id of its run."]
    near: Length
    far: Length
    low: Annotated[Length, Named("from")]
    high: Annotated[Length, Named("to")]
    cut: Annotated[
        Length, Named("length"), "Cut length: long point to long point, rounded to cut_to."
    ]
    cut_width: Annotated[
        Length | None,
        Named("width"),
        "Width that a sheet's piece is cut to; null where its course gives it.",
    ] = None
    ends: Annotated[
        tuple[Text, Text],
        "Low end, high end: square, mitred, shaped or factory. Of trim its left end, then its "
        "right one, which may be coped or scarfed too.",
    ]
    cuts: Inside[tuple[End, End]]
    long_points: ClassVar[
        Annotated[
            tuple[Length, ...],
            "Station of the outermost point of the low and of the high end as cut.",
        ]
    ] = computed(lambda row: (row.cuts[0].long, row.cuts[1].long))
    short_points: ClassVar[
        Annotated[
            tuple[Length, ...],
            "Station of the innermost point of the cut at each end, same order: as far in "
            "as its long point where the end is square. A notch or a step beside it is no part of "
            "the cut.",
        ]
    ] = computed(lambda row: (row.cuts[0].short, row.cuts[1].short))
    end_angles: ClassVar[
        Annotated[
            tuple[Degrees | None, ...],
            "Degrees off square of each end, same order, under 90: above 0 where the long "
            "point is on the far edge, below 0 where it is on the near edge; null where the cut is "
            "not one straight line. Of trim always null: `work` has the angles of its ends.",
        ]
    ] = computed(lambda row: (row.cuts[0].angle, row.cuts[1].angle))
    rip: Rip
    notches: Count
    holes: Count
    cutouts: Annotated[
        tuple[CutoutRow, ...],
        "What is cut out of it, beside its ends: none of a roll's piece, which is cut in place.",
    ] = ()
    work: Annotated[
        tuple[SawRow, ...],
        "What is done to it at the saw once it is cut to length: rips, angles, notches, holes. Of "
        "boards; a sheet says in `steps` how it is sawn, a roll is cut square.",
    ] = ()
    rings: Annotated[
        Rings,
        Named("shape"),
        "Rings (outer first) of [station along, station across]; empty: rectangle.",
    ]
    twice_area: Annotated[Area, Named("area")]
    bearings: Annotated[Count, "Members that the piece touches."]
    stick: Annotated[Text, "Id of its stick, sheet or roll."]
    ticks: ClassVar[Annotated[int, TICKS, "Cut length in ticks."]] = computed("cut")


@dataclass(frozen=True, slots=True, kw_only=True)
class JointRow:
    """One end joint between two pieces of a run."""

    surface: Text
    layer: Text
    course: Count
    between: tuple[PieceId, PieceId]
    at: Annotated[Length, "Station from the one origin of the surface."]
    on: Annotated[
        Text,
        "What it lands on: framing, block, sheathing, anywhere, floating, of a beam core, or of a "
        "roll's pieces lap.",
    ]
    bearing: Annotated[
        Count | None,
        "Number of the member it lands on: those that the layer crosses are counted "
        "from 1 along its length (the axis of `at`), from its low end, as `crosses` of the layer "
        "lists them.",
    ]
    offset_before: Annotated[Length | None, "To the nearest joint one course before."]
    offset_after: Length | None
    offset_repeat: Annotated[Length | None, "To the nearest joint two courses before."]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsumableRow:
    """Something used by length beside the layer itself, as tape is, in one place."""

    surface: Text
    layer: Text
    product: Text | None
    where: Annotated[Text, "side laps, end laps, openings, edges ..."]
    length: Length
    counted: Text
    loss: Inside[Fraction]
    """A fraction of one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerRow:
    """Fasteners of one kind in one place, with what was counted."""

    surface: Text
    layer: Text
    product: Text | None
    where: Annotated[
        Text,
        "The part of the layer, in its kind's words. Boards: field, first, last, joint end, notch "
        "(a narrow leg), leg (off the members), framed leg (over what frames its "
        "opening, behind a panel), lost tongue, open edge (a starting edge without a "
        "board before it), short piece, block, nailer, starter, end. Sheets: edge, long edge, "
        "field, seam, strip. Straps: field, splice. Wrap: line, seam, edge, opening. Trim: "
        "length. Of any: backing, what holds the nailers, headers and blocks behind it; of what "
        "is up in a change: cut end, loosened (over new work behind), and what is put back.",
    ]
    pattern: Text
    place: Annotated[Text, "blind, face, clip, or of clips at the seams of sheets edge."]
    spacing: Length | None
    count: Count
    counted: Text
    reach: Inside[Reach | None]
    """Where a product with lengths was named."""

    length: ClassVar[Annotated[Length | None, "The shortest length that holds."]] = computed(
        "reach.length"
    )
    bite: ClassVar[Annotated[Length | None, "Length of shank in what is meant to carry it."]] = (
        computed("reach.hold")
    )
    depth: ClassVar[Annotated[Length | None, "Depth of the point in it, square to the face."]] = (
        computed("reach.depth")
    )
    into_framing: ClassVar[Annotated[Length | None, "Length of shank in framing."]] = computed(
        "reach.framing"
    )
    into_wood: ClassVar[
        Annotated[Length | None, "Length of shank in framing and in wood panels, together."]
    ] = computed("reach.wood")


CLOSED: Final = {
    "JointRow.on": (
        "framing", "block", "sheathing", "anywhere", "floating", "core", "lap",
    ),
    "FastenerRow.pattern": (*get_args(Pattern), "rows", "caps", "clips", "ends", "along"),
    "FastenerRow.place": ("face", "blind", "clip", "edge"),
    "TallyRow.by": ("pieces", "length"),
    **{
        f"{row}.measured_in": ("money", "length", "sticks", "joints", "sheets", "rolls")
        for row in ("CutPlanRow", "RuleCostRow", "ChoiceRow", "CertificateRow")
    },
    **{
        f"{row}.measured_in": ("points", "count", "length")
        for row in ("LayerCheckRow", "MoistureCheckRow")
    },
    **{
        f"{row}.check": (
            "boards_at_service", "boards_at_rest", "boards_and_framing", "framing_dry",
            "boards_read", "framing_read", "boards_meter", "framing_meter",
            "joints_close", "joints_open", "tongues_stay", "gap_at_walls", "formula_range",
        )
        for row in ("LayerCheckRow", "MoistureCheckRow")
    },
}  # fmt: skip
"""The words of columns that hold one of a few."""
