"""What a request says of a sheet, and the rules of buying and sawing it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.bounds import Margin, Within
from service.schemas.described import Described
from service.schemas.metals import WOOD, Wood
from service.schemas.printed import WithPrinted
from service.schemas.quantities import Density, Length, Name
from service.schemas.rules import SawingRules, StockRules
from service.schemas.stock import OWNED, OwnedLength, Stocked, StockLength, StockRow


class SheetRules(SawingRules, StockRules):
    """Rules of the stock of sheets."""

    min_strip: Margin | None = Field(
        None, description="A narrower last row is shared with the first."
    )


class Beads(Asked):
    """Beads or grooves along the length of a sheet that shows, the first at its edge."""

    pitch: Annotated[int, Within("1/4 in", "24 in")] = Field(
        description="From one groove to the next."
    )


class SheetProduct(Described, WithPrinted, Stocked):
    """A sheet: its actual width and thickness, and the actual lengths it comes in.

    The length runs with the strength axis. A sheet made for gaps is sent at its true size
    (47-7/8 x 95-7/8 in); a full-size one is trimmed at each joint.
    """

    id: Name
    form: Literal["sheet"]
    width: Length
    thickness: Length
    beads: Beads | None = Field(
        None, description="Of a sheet that shows: beads or grooves along it. Default: none."
    )
    lap: Length | None = Field(
        None,
        description="How far the lapped long edge of one sheet lies under the next. Default: the "
        "edges are square.",
    )
    stock: Annotated[list[StockLength], Field(min_length=1, max_length=12)]
    wood: Wood | None = Field(None, description=WOOD)
    density: Density | None = None
    owned: Annotated[list[OwnedLength], Field(max_length=12)] | None = Field(
        None, description=OWNED
    )

    @property
    def rows(self) -> Sequence[StockRow]:
        """All that can be taken: rows of `stock`, then of what is owned."""
        return [*self.stock, *(row for row in self.owned or () if row.count)]

    @property
    def shows(self) -> bool:
        """Whether it is a panelling, whose seams and pattern are seen (12.1)."""
        return self.beads is not None or self.lap is not None

    @property
    def cover(self) -> int:
        """What a whole sheet covers across: its width less its lap, in ticks."""
        return self.width - (self.lap or 0)

    @property
    def laid_width(self) -> int:
        """A sheet's width, in ticks."""
        return self.width
