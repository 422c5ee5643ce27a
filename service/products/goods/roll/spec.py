"""What a request says of a roll, and the rules of buying and splicing it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.bounds import Margin, Reach, Within
from service.schemas.described import Described
from service.schemas.quantities import Length, LengthOrZero, Name
from service.schemas.rules import StockRules
from service.schemas.stock import Stocked, StockLength


class RollRules(StockRules):
    """Rules of the stock of rolls."""

    wrap_end_lap: Margin | None = Field(None, description="Lap where a roll runs out.")
    end_lap_offset: Reach | None = Field(None, description="End laps of neighbouring widths apart.")
    reuse_from: Annotated[int, Within("0 in", "1000 ft")] | None = Field(
        None, description="A shorter rest of a roll starts no width."
    )


class RollProduct(Described, Stocked):
    """A roll of wrap: its width, and the lengths it comes in."""

    id: Name
    form: Literal["roll"]
    width: Length
    stock: Annotated[list[StockLength], Field(min_length=1, max_length=12)]
    thickness: LengthOrZero | None = Field(None, description="Default: too thin to count.")

    @property
    def laid_width(self) -> int:
        """A roll's width, in ticks."""
        return self.width
