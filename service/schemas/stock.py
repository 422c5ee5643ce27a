"""The lengths that a product comes in: shared by every kind whose stock is cut to length."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.quantities import Count, Length, Price


class StockLength(Asked):
    """One length that can be bought."""

    length: Length
    price: Price | None = Field(None, description="Price of one stick, sheet or roll.")
    on_hand: Count | None = Field(None, description="How many can be had; default no limit.")
    multiple: Annotated[Count, Field(ge=1, le=10_000)] | None = Field(
        None, description="Sold in multiples of this."
    )
