"""What a request says of a moulding, and the rules of buying and sawing it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.bounds import Reach
from service.schemas.quantities import Lean, Length, LengthOrZero, Name
from service.schemas.rules import SawingRules, StockRules
from service.schemas.stock import StickLength, StickProduct
from service.schemas.venting import VentRate


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
    meets: Literal["scarfed", "butted"] | None = Field(
        None,
        description="How two pieces of one line meet. `butted`: square, as strips of metal or "
        "vinyl do, whose sticks come square too: nothing is squared off them unless `start_trim` "
        "is sent. Default: scarfed.",
    )
    flange: LengthOrZero | None = Field(
        None,
        description="Of a strip set into a surface: how much of its width laps what is laid beside "
        "it, on each side. Default: none of it.",
    )
    free_area: VentRate | None = Field(
        None, description="Net free vent area for so much of its length, as its own sheet gives it."
    )
    stock: Annotated[list[StickLength], Field(min_length=1, max_length=24)]

    @property
    def laid_width(self) -> int:
        """The width of the section, in ticks."""
        return self.width

    @property
    def slot(self) -> int:
        """How much of its width nothing is laid under, where it is set in; ticks."""
        return self.width - 2 * (self.flange or 0)

    @property
    def reach(self) -> int:
        """How far it reaches from the wall over the surface, in ticks."""
        return self.width if self.projection is None else self.projection
