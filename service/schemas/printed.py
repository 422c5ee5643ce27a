"""What is printed on a product, or comes with it: requirements, each with where it stands."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.described import PLAIN_TEXT
from service.schemas.moisture_values import Content
from service.schemas.quantities import Count, Length, Positive

MOST_PRINTED = 24


class Printed(Asked):
    """One requirement, and where it is printed."""

    where: Annotated[str, Field(min_length=1, max_length=100, pattern=PLAIN_TEXT)] = Field(
        description="Where it stands: `carton`, `guide, page 4`. Only written."
    )


class PrintedGap(Printed):
    """The gap at walls."""

    what: Literal["gap"]
    least: Length


class PrintedSupports(Printed):
    """What it is fastened to, on centre."""

    what: Literal["supports"]
    most: Length


class PrintedClearance(Printed):
    """How far off the ground it waits."""

    what: Literal["off_ground"]
    least: Length


class PrintedSlope(Printed):
    """The least pitch at which it is laid."""

    what: Literal["slope"]
    rise: Positive
    run: Positive


class PrintedFastener(Printed):
    """What it is fastened with."""

    what: Literal["fastener"]
    shank: Literal["smooth", "ring", "screw"] | None = None
    least: Length | None = Field(None, description="Its least length.")

    @model_validator(mode="after")
    def _says_something(self) -> PrintedFastener:
        if self.shank is None and self.least is None:
            raise PydanticCustomError("printed", "give `shank`, `least` or both")
        return self


class PrintedAcclimation(Printed):
    """How it is brought to its moisture before it goes up."""

    what: Literal["acclimation"]
    hours: Annotated[Count, Field(ge=1, le=10_000)] | None = Field(
        None, description="Least hours where it will live."
    )
    mc_least: Content | None = Field(None, description="Least moisture content then.")
    mc_most: Content | None = Field(None, description="Most moisture content then.")

    @model_validator(mode="after")
    def _says_something(self) -> PrintedAcclimation:
        if self.hours is None and self.mc_least is None and self.mc_most is None:
            raise PydanticCustomError("printed", "give `hours`, `mc_least` or `mc_most`")
        return self


class PrintedBarrier(Printed):
    """That a barrier against water stands behind it."""

    what: Literal["barrier_behind"]


class PrintedWork(Printed):
    """What is done to it on the site: `cut_ends` are sealed, `priming` before it goes up."""

    what: Literal["cut_ends", "priming"]


Requirement: TypeAlias = Annotated[
    PrintedGap
    | PrintedSupports
    | PrintedClearance
    | PrintedSlope
    | PrintedFastener
    | PrintedAcclimation
    | PrintedBarrier
    | PrintedWork,
    Field(discriminator="what"),
]


class WithPrinted(Asked):
    """A product that may say what is printed on it."""

    printed: Annotated[list[Requirement], Field(max_length=MOST_PRINTED)] | None = Field(
        None,
        description="What is printed on it or comes with it: the job is held against it in "
        "`inspection`. Local code goes before it, and it before every default.",
    )
