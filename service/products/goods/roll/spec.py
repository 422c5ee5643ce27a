"""What a request says of a roll, and the rules of buying and splicing it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

from pydantic import Field

from service.schemas.bounds import Margin, Reach, Within
from service.schemas.described import Described
from service.schemas.printed import WithPrinted
from service.schemas.quantities import Length, LengthOrZero, Name
from service.schemas.rules import StockRules
from service.schemas.stock import OWNED, OwnedLength, Stocked, StockLength, StockRow


class RollRules(StockRules):
    """Rules of the stock of rolls."""

    wrap_end_lap: Margin | None = Field(None, description="Lap where a roll runs out.")
    end_lap_offset: Reach | None = Field(None, description="End laps of neighbouring widths apart.")
    reuse_from: Annotated[int, Within("0 in", "1000 ft")] | None = Field(
        None, description="A shorter rest of a roll starts no width."
    )


class RollProduct(Described, WithPrinted, Stocked):
    """A roll of wrap: its width, and the lengths it comes in."""

    id: Name
    form: Literal["roll"]
    width: Length
    stock: Annotated[list[StockLength], Field(min_length=1, max_length=12)]
    owned: Annotated[list[OwnedLength], Field(max_length=12)] | None = Field(
        None, description=OWNED
    )
    thickness: LengthOrZero | None = Field(None, description="Default: too thin to count.")

    @property
    def rows(self) -> Sequence[StockRow]:
        """All that can be taken: rows of `stock`, then of what is owned."""
        return [*self.stock, *(row for row in self.owned or () if row.count)]

    @property
    def laid_width(self) -> int:
        """A roll's width, in ticks."""
        return self.width
