"""What a request says of fasteners of one make."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.described import Described
from service.schemas.quantities import Count, Length, Name, Positive, Price


class OwnedFasteners(Asked):
    """Fasteners of one length that the caller has already, as in an opened box."""

    length: Length
    count: Count = Field(description="How many there are, piece by piece.")


class FastenerProduct(Described):
    """Nails or screws of one make, in the lengths that can be had, and how they are packed."""

    id: Name
    form: Literal["fastener"]
    lengths: Annotated[list[Length], Field(min_length=1, max_length=40)] = Field(
        description="Lengths that can be had; the shortest that holds is chosen."
    )
    shank: Literal["smooth", "ring", "screw"]
    feed: Literal["hand", "collated"] | None = Field(
        None, description="How they are driven: sets the loss. Default: hand."
    )
    per_box: Annotated[Count, Field(ge=1)] | None = Field(
        None, description="Pieces in a box, as printed on it."
    )
    per_pound: Positive | None = Field(None, description="Pieces in a pound, as printed.")
    pounds: Positive | None = Field(None, description="Pounds in a pack (with per_pound).")
    price: Price | None = Field(None, description="Price of a box or pack.")
    owned: Annotated[list[OwnedFasteners], Field(max_length=40)] | None = Field(
        None,
        description="What the caller has already, as opened boxes: it is used before any is "
        "bought. Default: none.",
    )

    @model_validator(mode="after")
    def _holds_one(self) -> FastenerProduct:
        if self.per_pound and self.pounds and self.per_pound * self.pounds < 1:
            raise PydanticCustomError(
                "pack", "a pack holds less than one piece: `per_pound` times `pounds` is under 1"
            )
        return self
