"""What a request says of seam tape."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.described import Described
from service.schemas.printed import WithPrinted
from service.schemas.quantities import Count, Length, Name, Percent, Price


class TapeRules(Asked):
    """Rules of buying tape."""

    tape_loss: Percent | None = Field(None, description="Tape lost.")


class TapeProduct(Described, WithPrinted):
    """A roll of seam tape."""

    id: Name
    form: Literal["tape"]
    width: Length
    length: Length = Field(description="Length of one roll.")
    price: Price | None = Field(None, description="Price of one roll.")
    owned: Count | None = Field(
        None,
        description="Whole rolls that the caller has already: they are used before any is bought.",
    )
