"""Rows of trim: every length of it from corner to corner, and each layer in a few numbers.

Lengths are in ticks (`service.schemas.columns`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal, TypeAlias

from service.schemas.columns import (
    PLAIN,
    Area,
    Count,
    Degrees,
    Length,
    Named,
    PieceId,
    Place,
    Text,
)

Meets: TypeAlias = Literal[
    "inside corner", "outside corner", "segment joint", "mitre edge", "wall corner", "wall",
    "open end", "itself",
]  # fmt: skip

TwoMeets: TypeAlias = Annotated[tuple[Meets, Meets], PLAIN]

HANDS = (
    "its left end, then its right one: as one sees it who faces the wall that it runs along; of a "
    "frame, and on a surface that is itself a wall, with its back edge down and its face to you"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimRow:
    """One length of trim: a wall between corners, a side of a frame, a corner board."""

    surface: Text
    layer: Text
    length_no: Annotated[
        Count, Named("number"), "Its number in the layer, from 1 on: the `course` of its pieces."
    ]
    edges: Annotated[
        tuple[Count, ...],
        "Numbers of the edges of the outline along which it runs; none round an opening, and along "
        "what layers behind took away, as beams do.",
    ]
    from_edge: Annotated[
        Length | None,
        "How far from those its back edge lies, of a strip set into the surface; else None.",
    ] = None
    across_at: Annotated[
        Length | None,
        "Of a strip set in across the surface, as a breaker board: where its back edge lies across "
        "it, from the outline's lowest point; else None.",
    ] = None
    opening: Annotated[Text | None, "The opening that it frames, or None."] = None
    start: Annotated[Place, Named("from"), "Its left end [x, y], in the plane of the `outline`."]
    end: Annotated[Place, Named("to"), "Its right end."]
    length: Annotated[
        Length,
        "Along the wall from corner to corner, or along the back edge of a side of a frame.",
    ]
    meets: Annotated[TwoMeets, f"What it meets, {HANDS}."]
    turns: Annotated[
        tuple[Degrees, ...], "Degrees by which the way turns there, same order; 0 at an open end."
    ]
    adds: Annotated[
        tuple[Length, ...],
        "What each end takes beyond the length, same order: an outside corner the projection times "
        "the tangent of half the turn, an inside corner nothing; a corner where two walls meet, "
        "that are surfaces of their own, what is laid on them and, outside, the moulding's own "
        "thickness, inside so much less.",
    ]
    scarfs: Annotated[
        tuple[Length, ...], "Where its pieces lap, at the middle of each scarf, from its left end."
    ]
    cut: Annotated[Length, "All its pieces as cut, with what scarfs lap."]
    pieces: Annotated[tuple[PieceId, ...], "From left to right."]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimTotalRow:
    """One layer of trim: how long it is, and how many corners of which sort it has."""

    surface: Text
    layer: Text
    product: Text
    length: Annotated[Length, "From corner to corner, all of it."]
    cut: Annotated[Length, "Of its pieces, with their mitres and laps."]
    pieces: Count
    inside_corners: Annotated[Count, "Turns of at least `corner_over`, both walls with trim."]
    outside_corners: Count
    segment_joints: Annotated[Count, "Turns of 1 degree up to `corner_over`, mitred."]
    scarfs: Annotated[Count, "Joints of pieces of one length, butted ones too."]
    free_area: Annotated[
        Area | None,
        "Net free vent area: its length along the middle times what the sheet of the product gives "
        "for so much. None where that is not known.",
    ] = None
    free_area_asked: Annotated[Area | None, "What the layer asks of it, or None."] = None
