"""Rows of what is answered about moisture: each is a table of an answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal, Protocol, TypeAlias

from service.schemas.columns import (
    PLAIN,
    Area,
    Cost,
    Count,
    Flag,
    Inside,
    InUnit,
    Length,
    Number,
    Percent,
    Text,
    Worded,
    computed,
)
from service.takeoff.moisture.wood import By
from service.units.writing import in_system

Result: TypeAlias = Annotated[Literal["met", "not_met", "not_checkable"], PLAIN]


class _Worded(Protocol):
    """A row with its words, lengths in both systems."""

    words: str


def in_caller_system(row: _Worded) -> InUnit:
    """The `words` of a row, lengths in the system of a unit."""
    return lambda unit: in_system(row.words, unit)


Metered: TypeAlias = Literal["boards", "framing"]
Verdict: TypeAlias = Annotated[Literal["install", "hold", "read_again"], PLAIN]


@dataclass(frozen=True, slots=True, kw_only=True)
class AirRow:
    """Air in service for a season, and what it brings wood to."""

    air: Annotated[Text, "Its id."]
    by: Annotated[By, PLAIN, "What was sent of it."]
    fahrenheit: Annotated[Number | None, "Its temperature."]
    celsius: Annotated[Number | None, "The same."]
    humidity_pct: Annotated[Percent | None, "Relative humidity."]
    mc: Annotated[Percent, "Moisture content to which it brings wood."]
    tabulated: Annotated[Flag, "Whether the handbook tabulates that at this temperature."]


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitRow:
    """What a meter read at one visit."""

    of: Annotated[Metered, PLAIN, "Which wood was read."]
    visit: Count
    hours: Annotated[Count, "After the first visit."]
    readings: Count
    least: Percent
    most: Percent
    read: Annotated[Percent, "The mean as it was read."]
    correction: Annotated[Number, "Points added for the temperature of the wood."]
    mc: Annotated[Percent, "The mean, put right."]
    reliable: Annotated[Flag, "Whether a meter can be relied on at every one: 4 to 30 %."]


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementRow:
    """How boards move from now to one season; under zero they shrink."""

    air: Annotated[Text, "Id of the air."]
    from_mc: Percent
    to_mc: Percent
    points: Annotated[Number, "The difference."]
    each: Annotated[Length, "What one board does, by the linear coefficient."]
    over_all: Annotated[Length, "All beside each other."]
    in_range: Annotated[Flag, "Whether both are from 6 to 14 %, where that coefficient holds."]
    each_by_shrinkage: Annotated[
        Length | None,
        "What one board does by its whole shrinkage, which has no such range; null where that is "
        "not known.",
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureCheckRow:
    """One thing that must be so before boards go up, or for them to stay as they are."""

    check: Annotated[Text, "What is held against a limit."]
    found: Cost | None
    limit: Cost | None
    measured_in: Annotated[
        Text, "What `found` and `limit` are in: points of moisture, a count, the unit of length."
    ]
    result: Result
    holds_up: Annotated[Flag, "Whether boards wait for it."]
    rule: Text
    words: Inside[str]
    in_words: ClassVar[Worded] = computed(in_caller_system)


@dataclass(frozen=True, slots=True, kw_only=True)
class StackRow:
    """How boards are stacked while they wait: stickered, covered on top, open at the sides."""

    length: Length
    width: Length
    height: Annotated[Length, "From the ground to the top of the boards."]
    boards: Count
    rows: Count
    across: Annotated[Count, "Boards in a row."]
    bearers: Count
    stickers: Annotated[Count, "Between all rows, each line of them straight up."]
    stick_length: Annotated[Length, "Of a bearer and of a sticker."]
    cover: Annotated[Area, "Of the cover, which reaches beyond the stack on every side."]
    in_words: Worded


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureSummary:
    """Whether boards may go up, and what they will do."""

    verdict: Verdict
    mc_boards: Annotated[Percent, "Moisture content of the boards now."]
    mc_framing: Annotated[Percent | None, "Of the wood behind them; null where it was not sent."]
    mc_low: Annotated[Percent, "The least to which the air brings them."]
    mc_high: Annotated[Percent, "The most."]
    swells: Annotated[Length, "What one board swells at most."]
    shrinks: Annotated[Length, "What one board shrinks at most."]
    swells_over_all: Annotated[Length, "All beside each other."]
    shrinks_over_all: Length
    spacer: Annotated[Length, "The open joint that lets them swell; 0 where a joint's slack does."]
    gap: Annotated[Length, "The gap at each wall that takes its share."]
    in_words: Worded
