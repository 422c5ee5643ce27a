"""What a request says of a moulding, and the rules of buying and sawing it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.bounds import Reach
from service.schemas.quantities import Lean, Length, Name
from service.schemas.rules import SawingRules, StockRules
from service.schemas.stock import StickLength, StickProduct


class MouldingRules(SawingRules, StockRules):
    """Rules of the stock of mouldings."""

    start_trim: Reach | None = Field(
        None, description="What squaring the end that a stick is sawn from takes."
    )
    scarf_angle: Lean | None = Field(
        None, description="Degrees off square at which two pieces of one wall lap in a scarf."
    )


class MouldingProduct(StickProduct):
    """A moulding or flat trim that runs along edges: a cove, a casing, a corner board.

    Its back edge lies against the wall or the opening. It is never turned end for end nor over, so
    each piece has a left and a right end of its own. Its ledger is kept in length.
    """

    id: Name
    form: Literal["moulding"]
    width: Length = Field(description="Across its face, of the board that it is run from.")
    projection: Length | None = Field(
        None,
        description="How far it reaches from the wall over the surface, once it is up. Default: "
        "its width, as of trim that lies flat.",
    )
    thickness: Length = Field(description="Of the board that it is run from.")
    stock: Annotated[list[StickLength], Field(min_length=1, max_length=24)]

    @property
    def laid_width(self) -> int:
        """The width of the section, in ticks."""
        return self.width

    @property
    def reach(self) -> int:
        """How far it reaches from the wall over the surface, in ticks."""
        return self.width if self.projection is None else self.projection
