"""What a request says of clips."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.described import Described
from service.schemas.printed import WithPrinted
from service.schemas.quantities import Count, Name, Price


class ClipPack(Asked):
    """One size in which clips are sold."""

    of: Literal["box", "pack", "carton", "tub", "pail"] | None = Field(
        None, description="What it is called. Default: box."
    )
    count: Annotated[Count, Field(ge=1)] = Field(description="Clips in it.")
    price: Price | None = Field(None, description="Price of one.")


class ClipProduct(Described, WithPrinted):
    """A clip, sold with what fastens it."""

    id: Name
    form: Literal["clip"]
    packs: Annotated[list[ClipPack], Field(min_length=1, max_length=8)] = Field(
        description="The sizes in which they are sold: the mix of least price is bought where each "
        "has one, else that with the least left over."
    )
