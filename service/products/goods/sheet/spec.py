"""What a request says of a sheet, and the rules of buying and sawing it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

from pydantic import Field

from service.schemas.bounds import Margin
from service.schemas.described import Described
from service.schemas.quantities import Density, Length, Name
from service.schemas.rules import SawingRules, StockRules
from service.schemas.stock import OWNED, OwnedLength, Stocked, StockLength, StockRow


class SheetRules(SawingRules, StockRules):
    """Rules of the stock of sheets."""

    min_strip: Margin | None = Field(
        None, description="A narrower last row is shared with the first."
    )


class SheetProduct(Described, Stocked):
    """A sheet: its actual width and thickness, and the actual lengths it comes in.

    The length runs with the strength axis. A sheet made for gaps is sent at its true size
    (47-7/8 x 95-7/8 in); a full-size one is trimmed at each joint.
    """

    id: Name
    form: Literal["sheet"]
    width: Length
    thickness: Length
    stock: Annotated[list[StockLength], Field(min_length=1, max_length=12)]
    density: Density | None = None
    owned: Annotated[list[OwnedLength], Field(max_length=12)] | None = Field(
        None, description=OWNED
    )

    @property
    def rows(self) -> Sequence[StockRow]:
        """All that can be taken: rows of `stock`, then of what is owned."""
        return [*self.stock, *(row for row in self.owned or () if row.count)]

    @property
    def laid_width(self) -> int:
        """A sheet's width, in ticks."""
        return self.width
