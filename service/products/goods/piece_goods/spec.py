"""What a request says of something that is bought by the piece."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.described import Described
from service.schemas.printed import WithPrinted
from service.schemas.quantities import Count, Name, Price


class PieceGoodsProduct(Described, WithPrinted):
    """Something that is bought by the piece, as a ring or a trim plate round an opening."""

    id: Name
    form: Literal["piece_goods"]
    per_pack: Annotated[Count, Field(ge=1)] | None = Field(
        None, description="Pieces in a pack, where it is sold in packs. Default: one by one."
    )
    price: Price | None = Field(None, description="Price of a pack, or of one.")
