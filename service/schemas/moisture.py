"""What is sent of the moisture of wood: the air it will live in, what a meter read, what it is."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.bounds import Margin, Spacing, Within
from service.schemas.described import PLAIN_TEXT
from service.schemas.moisture_values import (
    Coefficient,
    Content,
    Humidity,
    Share,
    SpeciesName,
    Temperature,
)
from service.schemas.quantities import Count, Length, LengthOrZero, Name
from service.schemas.ways import each_alone, said_as, way


class AirAsked(Asked):
    """Air as it will be round the boards for a season: by its humidity, or what it brings wood to.

    `humidity`, `wet_bulb` or `dew_point` goes with a `temperature`; `mc` stands alone.
    """

    id: Name
    model_config = ConfigDict(
        json_schema_extra=said_as(
            way("temperature", "humidity", without=("wet_bulb", "dew_point", "mc")),
            way("temperature", "wet_bulb", without=("humidity", "dew_point", "mc")),
            way("temperature", "dew_point", without=("humidity", "wet_bulb", "mc")),
            way("mc", without=("temperature", "humidity", "wet_bulb", "dew_point")),
        )
    )

    temperature: Temperature | None = None
    humidity: Humidity | None = None
    wet_bulb: Temperature | None = Field(
        None, description="What a ventilated thermometer with a wet, unfrozen bulb shows."
    )
    dew_point: Temperature | None = Field(None, description="Temperature at which dew forms.")
    mc: Content | None = Field(
        None, description="The moisture content to which it brings wood, where that is known."
    )

    @model_validator(mode="after")
    def _says_one_thing(self) -> AirAsked:
        damp = [self.humidity, self.wet_bulb, self.dew_point]
        sent = sum(one is not None for one in damp)
        if (sent, self.mc is None, self.temperature is None) not in ((1, True, False),
                                                                     (0, False, True)):  # fmt: skip
            raise PydanticCustomError(
                "air",
                "give a `temperature` with one of `humidity`, `wet_bulb` and `dew_point`, or `mc` "
                "alone",
            )
        return self


class ReadingsAsked(Asked):
    """What a meter read of several boards or members at one visit."""

    hours: Annotated[Count, Field(le=100_000)] | None = Field(
        None, description="Hours after the first visit. Default: 0."
    )
    values: Annotated[list[Content], Field(min_length=1, max_length=200)] = Field(
        description="One for each board or member that was read, in percent."
    )
    temperature: Temperature | None = Field(
        None,
        description="Of the wood. Where it is sent, the readings are put right for it. Default: "
        "that for which the meter is calibrated.",
    )
    calibrated_at: Temperature | None = Field(
        None, description="Temperature for which the meter is calibrated. Default: 70 F."
    )


class WoodAsked(Asked):
    """How moist some wood is: readings of a meter visit by visit, or one figure."""

    model_config = ConfigDict(json_schema_extra=said_as(*each_alone("mc", "readings")))

    mc: Content | None = Field(None, description="Its mean moisture content, where it is known.")
    readings: Annotated[list[ReadingsAsked], Field(min_length=1, max_length=24)] | None = Field(
        None, description="Visits in their order; the last is how moist it is now."
    )

    @model_validator(mode="after")
    def _says_one_thing(self) -> WoodAsked:
        if (self.mc is None) == (self.readings is None):
            raise PydanticCustomError("wood", "give either `mc` or `readings`, not both")
        return self


class MovingAsked(WoodAsked):
    """Boards: what wood they are of, and how moist they are."""

    species: SpeciesName | None = Field(
        None, description="Its coefficient is that of the table `wood_movement`."
    )
    grain: Literal["flat", "edge"] | None = Field(
        None,
        description="How the growth rings lie in the face: `flat` moves about twice as much as "
        "`edge`. Default: flat, also for mixed boards.",
    )
    coefficient: Coefficient | None = Field(
        None, description="In place of that of a species. One of both is needed."
    )

    @model_validator(mode="after")
    def _says_what_it_is(self) -> MovingAsked:
        if self.species is None and self.coefficient is None:
            raise PydanticCustomError("wood", "give a `species` or a `coefficient`")
        return self


class BoardsAsked(MovingAsked):
    """Boards that lie beside each other, with no surface."""

    coverage: Length = Field(description="What of one shows: its share of the width.")
    over: Length | None = Field(
        None, description="The width that they cover beside each other. Default: one board."
    )
    tongue: Length | None = Field(
        None, description="How deep the tongue or the lap is. Default: they have none."
    )
    spacer: LengthOrZero | None = Field(None, description="Open joint between boards. Default: 0.")
    gap: LengthOrZero | None = Field(
        None, description="Gap at each wall. Default: it is only said how large it must be."
    )


class StackAsked(Asked):
    """Boards of one length that wait in a stack."""

    length: Length
    count: Annotated[Count, Field(ge=1, le=100_000)]
    overall: Length = Field(description="Width of a board, tongue included.")
    thickness: Length
    width: Length | None = Field(None, description="The stack is no wider. Default: 48 in.")


class MoistureRules(Asked):
    """What is judged by: points of moisture content, hours, and lengths."""

    slack: Margin | None = Field(None, description="How far a joint may close or open.")
    spacer_step: Annotated[int, Within("0.001 in", "1 in")] | None = Field(
        None, description="Spacers are multiples of this."
    )
    gap_step: Annotated[int, Within("0.001 in", "1 in")] | None = Field(
        None, description="A gap that is asked for is a multiple of this."
    )
    gap_share: Share | None = Field(
        None, description="Share of the whole change that the gap at each wall must take."
    )
    tongue_kept: Margin | None = Field(
        None, description="Of the tongue, what must stay in its groove."
    )
    most_off: Content | None = Field(
        None, description="Boards may be so many points off the middle of what the air brings."
    )
    most_apart: Content | None = Field(
        None, description="Boards and the wood behind them may be so many points apart."
    )
    framing_most: Content | None = Field(None, description="Framing may not be moister.")
    steady: Content | None = Field(
        None, description="Boards are at rest where two visits differ by no more."
    )
    steady_hours: Annotated[Count, Field(ge=1, le=10_000)] | None = Field(
        None, description="Hours between those two visits at least."
    )
    least_readings: Annotated[Count, Field(ge=1, le=200)] | None = Field(
        None, description="Boards that are read at a visit at least."
    )
    bearer_spacing: Spacing | None = Field(None, description="Bearers under a stack, on centre.")
    sticker_spacing: Spacing | None = Field(None, description="Stickers between rows, on centre.")
    sticker: Margin | None = Field(None, description="Thickness of a sticker.")
    ground_clear: Margin | None = Field(None, description="Between the ground and the boards.")
    cover_over: Margin | None = Field(None, description="How far a cover reaches beyond a stack.")


class MoistureAsked(Asked):
    """Boards, the air that they will live in, and the wood behind them."""

    unit: Literal["in", "ft", "mm", "cm", "m"] = Field(description="Unit of bare numbers.")
    air: Annotated[list[AirAsked], Field(min_length=1, max_length=12)] = Field(
        description="The air in service, season by season: at least the driest and the dampest."
    )
    boards: BoardsAsked
    framing: WoodAsked | None = Field(
        None, description="The wood behind them: framing, straps or a deck."
    )
    stack: StackAsked | None = Field(None, description="Boards that are to be stored.")
    rules: MoistureRules | None = None
    note: Annotated[str, Field(max_length=500, pattern=PLAIN_TEXT)] | None = Field(
        None, description="Free text; never read."
    )


class JobAir(AirAsked):
    """Air round the boards of a job for a season."""

    surfaces: Annotated[list[Name], Field(min_length=1, max_length=60)] | None = Field(
        None, description="Ids of the surfaces where it is so. Default: all."
    )


class JobBoards(MovingAsked):
    """What boards of a product are of, and how moist they are."""

    product: Name = Field(description="Id of a board in `products`.")


class JobFraming(WoodAsked):
    """How moist the wood behind boards is."""

    surfaces: Annotated[list[Name], Field(min_length=1, max_length=60)] | None = Field(
        None, description="Ids of the surfaces behind which it is. Default: all."
    )


class JobMoisture(Asked):
    """The moisture of a job: where it gives boards no room, they are laid anew with more."""

    air: Annotated[list[JobAir], Field(min_length=1, max_length=60)] = Field(
        description="The air in service, season by season: at least the driest and the dampest."
    )
    boards: Annotated[list[JobBoards], Field(min_length=1, max_length=60)]
    framing: Annotated[list[JobFraming], Field(min_length=1, max_length=60)] | None = Field(
        None,
        description="The wood behind the boards, framing, straps or a deck: of each surface the "
        "first that is behind it.",
    )
    rules: MoistureRules | None = None
