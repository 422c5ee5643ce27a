"""Rows of coats, sealant and glue: what is covered or filled, and how much that takes."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, ClassVar, Literal, TypeAlias

from service.schemas.columns import PLAIN, Area, Count, Inside, Length, Text, Volume, computed

Use: TypeAlias = Literal["coat", "bead", "fill"]


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


@dataclass(frozen=True, slots=True)
class Plugged:
    """A hole that is filled: how wide and how deep it is, ticks."""

    width: int
    depth: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidRow:
    """Coats on one side of a layer's pieces, beads along one thing that it has, or its holes."""

    surface: Text
    layer: Text
    product: Text
    use: Annotated[Use, PLAIN]
    where: Annotated[
        Text,
        "Of coats face or all sides; of beads edges, openings, pieces, joints or members; of what "
        "fills holes face.",
    ]
    times: Annotated[Count, "How many coats, beads beside one another, or holes."]
    area: Annotated[Area | None, "Of one coat; null of all else."]
    length: Annotated[Length | None, "Of one bead; null of all else."]
    cubic_ticks: Inside[int]
    volume: ClassVar[Annotated[Volume, "Of all of them, before what is lost."]] = computed(
        "cubic_ticks"
    )
    loss: Inside[Fraction]
    """A fraction of one."""

    counted: Annotated[Text, "What was measured."]
    worked: Inside[Coated | Filled | Plugged]
    """What the volume follows from, beside what is measured."""
