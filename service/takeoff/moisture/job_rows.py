"""Rows of what is told of the moisture of a job's layers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from service.schemas.columns import Cost, Flag, Inside, Length, Percent, Text, Worded, computed
from service.takeoff.moisture.rows import Result, Verdict, in_caller_system


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerMoistureRow:
    """Whether the boards of a layer may go up, what they will do, and the room that they have."""

    surface: Text
    layer: Text
    product: Text
    verdict: Verdict
    mc_boards: Annotated[Percent, "Moisture content of the boards now."]
    mc_framing: Annotated[Percent | None, "Of the wood behind them; null where it was not sent."]
    mc_low: Annotated[Percent, "The least to which the air brings them."]
    mc_high: Annotated[Percent, "The most."]
    over: Annotated[Length, "How far they reach from side to side."]
    swells: Annotated[Length, "What one board swells at most."]
    shrinks: Annotated[Length, "What one board shrinks at most."]
    swells_over_all: Annotated[Length, "All beside each other."]
    shrinks_over_all: Length
    spacer: Annotated[Length, "The open joint between them, as laid."]
    spacer_needed: Length
    gap: Annotated[Length, "The gap at walls, as laid."]
    gap_needed: Length
    in_words: Worded


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerCheckRow:
    """One thing that must be so before the boards of a layer go up, or for them to stay so."""

    surface: Text
    layer: Text
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
