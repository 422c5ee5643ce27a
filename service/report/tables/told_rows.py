"""Rows of what is told of a whole takeoff: each is a table of the answer.

Lengths are in ticks, areas in half square ticks (`service.schemas.columns`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final

from service.schemas.columns import (
    Area,
    Count,
    Flag,
    Length,
    Named,
    Patch,
    Percent,
    Ruled,
    Text,
)

RULE: Final = "Number of the trade rule: `/v1/rules/{number}` says it."


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """The finished layers (the outermost of each surface) in one line per question."""

    drawn: Annotated[Area, "Area net of openings, as drawn."]
    installed: Annotated[Area, "Area net of openings, less the gaps."]
    placed: Annotated[Length, "Length of the pieces as cut."]
    bought: Annotated[Length, "Length bought."]
    sticks: Count
    sheets: Annotated[Count, "Sheets of all layers."]
    waste_pct: Annotated[Percent | None, "1 - installed / bought, on coverage width."]
    extra_pct: Annotated[Percent | None, "Bought / installed - 1, on coverage width."]
    extra_over_drawn_pct: Annotated[Percent | None, "Bought / drawn - 1."]
    optimal: Flag
    in_words: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class ProductRow:
    """One product that layers are made of: how much is laid and how much is bought."""

    product: Text
    kind: Text
    form: Text
    drawn: Annotated[Area, "Area of its surfaces net of openings."]
    installed: Annotated[Area, "Area it covers."]
    area_bought: Annotated[
        Area | None,
        "Area of all that is bought, laps and tongues too; null for what is bought by "
        "length or volume alone.",
    ]
    pieces: Count
    placed: Annotated[Length | None, "Length of the pieces as cut; null for sheets."]
    bought: Annotated[Length | None, "Length bought; null for sheets."]
    units: Annotated[Count, "Sticks, sheets or rolls bought."]
    waste_pct: Annotated[Percent | None, "1 - installed / bought, laps taken off."]
    extra_pct: Annotated[Percent | None, "Bought / installed - 1, laps taken off."]
    extra_over_drawn_pct: Annotated[Percent | None, "Bought / drawn - 1, laps taken off."]


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRow:
    """Something legal that should be known."""

    code: Text
    at: Text
    text: Text
    rule: Annotated[Text | None, RULE]
    measure: Length | None
    limit: Length | None
    cure: Annotated[
        Patch | None,
        "A patch of the request that mends this (RFC 6902): apply all of it, in order.",
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class RelaxedRow:
    """A rule that was not kept, by the caller's leave."""

    rule: Annotated[Text, RULE]
    key: Text
    asked: Ruled
    used: Ruled
    places: tuple[Text, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BasisRow:
    """A value the answer rests on, and where it came from."""

    at: Text
    rule: Annotated[Text, RULE]
    key: Text
    value: Ruled
    source: Annotated[Text, Named("from")]
