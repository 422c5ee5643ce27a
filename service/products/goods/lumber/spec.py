"""What a request says of lumber, and the rules of buying and sawing it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.quantities import Length, Name
from service.schemas.rules import StickRules
from service.schemas.stock import StickLength, StickProduct


class LumberRules(StickRules):
    """Rules of the stock of lumber."""


class LumberProduct(StickProduct):
    """Lumber of one section, of which blocks, nailers, cleats and straps are cut.

    Its ledger is kept in length: none of it covers an area.
    """

    id: Name
    form: Literal["lumber"]
    width: Length = Field(description="Actual width of the section, its greater side as a rule.")
    thickness: Length = Field(description="Actual thickness of the section.")
    stock: Annotated[list[StickLength], Field(min_length=1, max_length=24)]

    @property
    def laid_width(self) -> int:
        """The width of the section, in ticks."""
        return self.width
