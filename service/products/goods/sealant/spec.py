"""What a request says of sealant or glue in tubes."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.schemas.described import Described
from service.schemas.liquids import Cans, OwnedCans
from service.schemas.printed import WithPrinted
from service.schemas.quantities import Name, Percent


class SealantProduct(Described, WithPrinted):
    """A sealant or a glue that is laid in beads, and in what it is sold."""

    id: Name
    form: Literal["sealant"]
    packs: Cans = Field(description="The sizes in which it is sold, one of each price.")
    owned: OwnedCans | None = Field(
        None,
        description="What the caller has already: opened ones are used first, then full ones, "
        "before any is bought. Default: none.",
    )
    loss: Percent | None = Field(
        None, description="Share that stays in tubes and nozzles. Default: 10."
    )
