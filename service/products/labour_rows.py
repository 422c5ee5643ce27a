"""Rows of what there is to do, its hours where rates were sent, and how the order is stacked."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, ClassVar, TypeAlias

from service.schemas.columns import Area, Count, Inside, Length, Number, Text, Weight, computed


def _plain(value: Fraction | None) -> float | None:
    return None if value is None else round(float(value), 6)


Hours: TypeAlias = Annotated[Number | None, "Null where no rate was sent for it."]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourRow:
    """So much of one thing to do in one layer."""

    surface: Text
    layer: Text
    item: Annotated[
        Text,
        "area (that it covers), pieces, crosscuts, rips, angles, notches, holes, fasteners, coats, "
        "beads, staging_moves.",
    ]
    exact: Inside[Fraction]
    quantity: ClassVar[Number] = computed(lambda row: _plain(row.exact))
    unit: Annotated[Text, "Empty for counts; of lengths ft or m, of areas ft2 or m2."]
    rate: Inside[Fraction | None]
    hours_each: ClassVar[Hours] = computed(lambda row: _plain(row.rate))
    factor: Inside[Fraction]
    factors: ClassVar[Annotated[Number, "All that its hours are multiplied by."]] = computed(
        lambda row: _plain(row.factor)
    )
    hours: ClassVar[Hours] = computed(
        lambda row: None if row.rate is None else _plain(row.exact * row.rate * row.factor)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourTotalRow:
    """All hours by the caller's rates, and how long a crew takes for them."""

    exact: Inside[Fraction]
    hours: ClassVar[Annotated[Number, "Of one, for all that rates were sent for."]] = computed(
        lambda row: _plain(row.exact)
    )
    crew: Annotated[Count, "How many work at once."]
    crew_hours: ClassVar[Annotated[Number, "Of all of them at once."]] = computed(
        lambda row: _plain(row.exact / row.crew)
    )
    day: Inside[Fraction]
    hours_a_day: ClassVar[Number] = computed(lambda row: _plain(row.day))
    days: ClassVar[Number] = computed(lambda row: _plain(row.exact / row.crew / row.day))


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryRow:
    """What of one product comes to the site, and the room it takes there in stacks."""

    product: Text
    form: Text
    pieces: Count
    longest: Length
    lifts: Annotated[Count, "Stacks of its pieces, none wider or higher than is usual (19.7)."]
    width: Annotated[Length, "Of the widest stack."]
    height: Annotated[Length, "Of the highest stack, without bearers and stickers."]
    footprint: Annotated[Area, "Of all stacks beside one another, each as long as its longest."]
    weight: Annotated[Weight | None, "Of all; null where no density was sent."]
    bearers: Annotated[Count, "Level under all stacks, each as long as a stack is wide (26.4)."]
    clear: Annotated[Length, "From the ground to the lowest row."]
    stickers: Annotated[
        Count, "In straight lines between all rows; none between sheets, which lie flat."
    ]
    cover: Annotated[Area, "Over all stacks, of what breathes; their sides and ends stay open."]
