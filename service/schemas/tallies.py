"""Random lengths as they are sold: shares of pieces, or of length, in bundles."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.quantities import Length, Positive


class TallyLength(Asked):
    """One length of a tally, and its share."""

    length: Length
    share: Annotated[Positive, Field(le=100)] = Field(
        description="Per cent of the pieces, or of the length, as `by` of the tally says."
    )


class Tally(Asked):
    """The mix of lengths in which a board comes where it is sold in random lengths."""

    by: Literal["pieces", "length"] = Field(
        description="What shares are of: half of the `pieces` 4 ft and half 12 ft are 8 ft in the "
        "mean, half of the `length` in each 6 ft."
    )
    lengths: Annotated[list[TallyLength], Field(min_length=1, max_length=24)]
    bundle: Length | None = Field(
        None, description="Length of board in one bundle. Default: it is sold by the foot."
    )

    @model_validator(mode="after")
    def _whole(self) -> Tally:
        if sum(one.share for one in self.lengths) != 100:
            raise PydanticCustomError("tally", "the shares of a tally add up to 100")
        return self
