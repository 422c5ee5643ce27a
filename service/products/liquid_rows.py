"""Rows of coats, sealant and glue: what is covered or filled, and how much that takes."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, ClassVar, Literal, TypeAlias

from service.schemas.columns import PLAIN, Area, Count, Inside, Length, Text, Volume, computed

Use: TypeAlias = Literal["coat", "bead"]


@dataclass(frozen=True, slots=True)
class Coated:
    """Square ticks that a cubic tick covers, and the share of it that the first coat covers."""

    spread: Fraction
    first: Fraction


@dataclass(frozen=True, slots=True)
class Filled:
    """The section of a bead: its sides in ticks, and what of their product it is."""

    width: int
    depth: int
    share: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidRow:
    """Coats on one side of a layer's pieces, or beads along one thing that it has."""

    surface: Text
    layer: Text
    product: Text
    use: Annotated[Use, PLAIN]
    where: Annotated[
        Text,
        "Of coats face or all sides; of beads edges, openings, pieces, joints or members.",
    ]
    times: Annotated[Count, "How many coats, or beads beside one another."]
    area: Annotated[Area | None, "Of one coat; null of beads."]
    length: Annotated[Length | None, "Of one bead; null of coats."]
    cubic_ticks: Inside[int]
    volume: ClassVar[Annotated[Volume, "Of all coats or beads, before what is lost."]] = computed(
        "cubic_ticks"
    )
    loss: Inside[Fraction]
    """A fraction of one."""

    counted: Annotated[Text, "What was measured."]
    worked: Inside[Coated | Filled]
    """What the volume follows from, beside what is measured."""
