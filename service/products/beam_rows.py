"""Rows of beams, of the bays between them, and of the parts that they are made of.

Each is a table of the answer (`service.schemas.columns`); lengths are in ticks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from service.schemas.columns import (
    PLAIN,
    Area,
    Count,
    Degrees,
    Inside,
    Length,
    Named,
    PieceId,
    Place,
    Text,
    computed,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BeamRow:
    """One beam from wall to wall, with all its segments; a half beam lies along a wall."""

    surface: Text
    layer: Text
    beam: Annotated[Count, "Its number: through beams first, each set from its low side on."]
    lies: Annotated[
        Literal["through", "butting", "mitred"],
        PLAIN,
        "Whether it runs through the crossings, butts into beams that do, or is mitred with them.",
    ]
    wall: Annotated[
        Literal["low", "high", "none"],
        PLAIN,
        "The wall that a half beam lies along, facing the finished side.",
    ]
    direction: Annotated[Degrees, "Of its length, facing the finished side, 0 up to 180."]
    start: Annotated[Place, Named("from"), "The low end [x, y] of its centre line."]
    end: Annotated[Place, Named("to")]
    width: Annotated[Length, "Finished, over its skins."]
    drop: Annotated[Length, "Finished, below what it meets."]
    core: Annotated[Length, "Width of the core or cleat that its skins are fixed to."]
    segments: Annotated[Count, "Lengths that it is made in, between the beams that it butts into."]
    length: Annotated[Length, "Clear length of all its segments together, without crossings."]
    hits: Annotated[Count, "Members that it crosses: its core is fixed to each."]
    blocks: Annotated[Count, "Blocks that it asks for between members, where `backing` is counted."]
    hidden: Annotated[
        Area, "Of the boards that lie over it: what bays that end at the beam would save."
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class BayRow:
    """One bay: what is clear between beams and walls, after the skins are on."""

    surface: Text
    layer: Text
    bay: Annotated[
        Count, "Its number: from 1 on, from the left, then from below, facing the finished side."
    ]
    low: Annotated[Place, Named("from"), "The lowest [x, y] that it reaches."]
    high: Annotated[Place, Named("to"), "The highest ones."]
    along: Annotated[Length, "Clear size along the through beams."]
    across: Annotated[Length, "Clear size across them."]
    area: Area
    perimeter: Length
    corners: Annotated[Count, "Corners of its edge."]


@dataclass(frozen=True, slots=True, kw_only=True)
class BeamPartRow:
    """One part of one segment of a beam: a side, the bottom, or the core."""

    surface: Text
    layer: Text
    beam: Count
    segment: Annotated[Count, "From its low end on."]
    part: Annotated[Literal["near side", "bottom", "far side", "core"], PLAIN]
    product: Annotated[Text | None, "None where no lumber is named for cores."]
    length: Annotated[Length, "As it is cut, long point to long point, before joints."]
    width: Annotated[Length, "Finished width: what it is ripped to."]
    shows: Inside[int] = 0
    """What of it across is in view once the beam is up, its lower edge with it; 0 of a core."""
    bevels: Annotated[
        Literal["none", "one edge", "both edges"], PLAIN, "Edges that are ripped at 45 degrees."
    ]
    ends: Annotated[
        tuple[Text, Text],
        "Low end, high end: wall, butted (to a beam's face), mitred (to a point over the crossing, "
        "or through its thickness at a corner).",
    ]
    joints: Annotated[tuple[Length, ...], "Stations of its joints along the beam."]
    pieces: Annotated[tuple[PieceId, ...], "From its low end on."]
    count: ClassVar[Annotated[Count, "How many pieces that is."]] = computed(
        lambda row: len(row.pieces)
    )
