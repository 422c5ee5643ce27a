"""What a request says of a sheet, and the rules of buying and sawing it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.bounds import Margin
from service.schemas.described import Described
from service.schemas.quantities import Density, Length, Name
from service.schemas.rules import SawingRules, StockRules
from service.schemas.stock import Stocked, StockLength


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

    @property
    def laid_width(self) -> int:
        """A sheet's width, in ticks."""
        return self.width
