"""What comes in lengths: shared by every kind whose stock is cut to length."""

from __future__ import annotations

from abc import abstractmethod
from typing import Annotated

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.quantities import Count, Density, Length, Name, Positive, Price


class StockLength(Asked):
    """One length that can be bought."""

    length: Length
    price: Price | None = Field(None, description="Price of one stick, sheet or roll.")
    on_hand: Count | None = Field(None, description="How many can be had; default no limit.")
    multiple: Annotated[Count, Field(ge=1, le=10_000)] | None = Field(
        None, description="Sold in multiples of this."
    )


class Nominal(Asked):
    """Nominal size in inches, for board feet."""

    thickness: Positive
    width: Positive


class Stocked(Asked):
    """A product that is bought in lengths and laid piece beside piece, whatever its form.

    What such a job costs in work is known before it is done from its lengths and `laid_width`.
    """

    id: Name
    stock: list[StockLength]

    @property
    @abstractmethod
    def laid_width(self) -> int:
        """Ticks across one piece, over all."""


class StickProduct(Stocked):
    """A product that is bought in sticks of one section and sawn to length."""

    form: str
    thickness: Length
    nominal: Nominal | None = None
    density: Density | None = None
