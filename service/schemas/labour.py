"""The caller's own rates for hours: none is built in."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.quantities import Count, Positive

Item: TypeAlias = Literal[
    "area", "pieces", "crosscuts", "rips", "angles", "notches", "holes", "fasteners", "coats",
    "beads", "staging_moves",
]  # fmt: skip
"""What there is to do, as it is counted."""


class Rate(Asked):
    """Hours for one of what there is to do."""

    item: Item
    hours: Positive = Field(
        description="Hours for one: of rips and beads for a foot (a metre where the unit is "
        "metric), of area and coats for a square foot (a square metre)."
    )
    factor: Positive | None = Field(
        None, description="What they are multiplied by, as for hard access. Default: 1."
    )


class Labour(Asked):
    """Rates for hours, and who works."""

    rates: Annotated[list[Rate], Field(min_length=1, max_length=20)] = Field(
        description="One for each item that is to be reckoned; others have no hours."
    )
    overhead: Positive | None = Field(
        None, description="What hours on ceilings and soffits are multiplied by. Default: 1."
    )
    reach: Positive | None = Field(
        None,
        description="Square feet (square metres where the unit is metric) that are reached from "
        "one place of the staging: it is then told how often it is moved. Default: it is not.",
    )
    crew: Annotated[Count, Field(ge=1, le=100)] | None = Field(
        None, description="How many work at once. Default: 1."
    )
    day: Annotated[Positive, Field(le=24)] | None = Field(
        None, description="Hours that one works in a day. Default: 8."
    )
