"""What a request says of primer, stain or paint."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.schemas.described import Described
from service.schemas.liquids import Cans, Covers, OwnedCans
from service.schemas.printed import WithPrinted
from service.schemas.quantities import Name, Percent


class CoatingProduct(Described, WithPrinted):
    """A primer, stain or paint: how far it goes by its own sheet, and in what it is sold."""

    id: Name
    form: Literal["coating"]
    spread: Covers = Field(
        description="What one coat covers, as its sheet gives it: `400 ft2/gal` or `10 m2/l`."
    )
    raw_spread: Percent | None = Field(
        None,
        description="Share of `spread` that the first coat on raw wood covers. Default: 80.",
    )
    packs: Cans = Field(description="The sizes in which it is sold, one of each price.")
    owned: OwnedCans | None = Field(
        None,
        description="What the caller has already: opened ones are used first, then full ones, "
        "before any is bought. Default: none.",
    )
