"""How flat the members behind a surface lie, as a request tells it."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.quantities import Count, Length, LengthOrZero, Offset
from service.units.ticks import INCH

_DEEPEST: Final = 24 * INCH


class Reading(Asked):
    """How far one member lies from the string lines, at one mark along it."""

    member: Annotated[Count, Field(ge=1)] = Field(
        description="Its number as `members` of the answer has it: from 1 on, from the left or, of "
        "members that lie level, from below, as seen facing the finished side."
    )
    at: LengthOrZero = Field(
        description="Along the member from its left or, if upright, lower end."
    )
    dip: Annotated[int, Offset(_DEEPEST)] = Field(
        description="From the string line to the member: over zero where it lies further from the "
        "finished face, as a ceiling joist that is too high, under zero where it stands proud."
    )


class Flatness(Asked):
    """Readings of how flat the members lie, taken from string lines in one plane."""

    readings: Annotated[list[Reading], Field(min_length=1, max_length=500)]
    shim: Length | None = Field(
        None, description="Thickness of the thinnest shim. Default 1/16 in, 1 mm in metric jobs."
    )
    straightedge: Length | None = Field(
        None, description="Length of the straightedge that the members are held to. Default 72 in."
    )
    off: LengthOrZero | None = Field(
        None, description="How far a member may lie off the straightedge. Default 1/8 in."
    )
