"""What is sent to have pieces cut from sticks, with no surface that they lie on."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.bounds import Reach
from service.schemas.described import PLAIN_TEXT, Described
from service.schemas.quantities import Count, Length, Name
from service.schemas.rules import BladeRules, StockRules
from service.schemas.stock import OWNED, Nominal, OwnedStick, StickLength, StickProduct

MOST_LINES = 500
MOST_OF_A_LINE = 10_000

CutEnd: TypeAlias = Literal["square", "covered"]
"""What becomes of an end: it is squared, or a moulding covers it and it may stay raw (8.1)."""


class CutPiece(Asked):
    """Pieces of one length."""

    id: Name | None = Field(
        None, description="What they are called in the answer: `jamb.1`, `jamb.2`. Default: p1, p2."
    )
    length: Length = Field(description="As cut.")
    count: Annotated[Count, Field(ge=1, le=MOST_OF_A_LINE)] | None = Field(
        None, description="How many. Default: 1."
    )
    ends: Annotated[list[CutEnd], Field(min_length=2, max_length=2)] | None = Field(
        None,
        description="Left and right end. `square`: it meets another board or stays in view, and a "
        "raw end of a stick is squared there (`joint_trim`). `covered`: a moulding covers it, and "
        "it may stay as the mill left it (`wall_trim`). Default: both square.",
    )


class CutRules(BladeRules, StockRules):
    """Rules of the stock and of the saw, all as in a job; lengths are cut as they are sent."""

    end_trim: Reach | None = Field(
        None, description="Trimmed off each raw end of a stick, whatever becomes of it."
    )
    joint_trim: Reach | None = Field(
        None,
        description="Trimmed off a raw end of a stick where a piece has a square end, its own saw "
        "cut included.",
    )
    wall_trim: Reach | None = Field(
        None, description="Trimmed off a raw end of a stick where a piece has a covered end."
    )


class CutProduct(Described):
    """What stock is called that pieces are only cut from."""

    nominal: Nominal | None = None


class CutPlanAsked(Asked):
    """Pieces to be cut, the stock that they are cut from, and the saw."""

    unit: Literal["in", "ft", "mm", "cm", "m"] = Field(description="Unit of bare numbers.")
    pieces: Annotated[list[CutPiece], Field(min_length=1, max_length=MOST_LINES)]
    stock: Annotated[list[StickLength], Field(min_length=1, max_length=24)]
    owned: Annotated[list[OwnedStick], Field(max_length=24)] | None = Field(None, description=OWNED)
    product: CutProduct | None = Field(
        None, description="What the stock is called in the order. Default: `stock`, no more."
    )
    profile: Literal["tongue_and_groove", "shiplap", "square_edge", "lapped"] | None = Field(
        None,
        description="Pieces of square-edged stock may be turned end for end; those with a tongue "
        "or a lap keep their left and right end. Default: square_edge.",
    )
    rules: CutRules | None = None
    objective: Literal["least_cost", "least_length", "fewest_sticks", "fewest_lengths"] | None = (
        Field(
            None,
            description="What the stock is chosen for. Default: least_cost if every stock length "
            "has a price, otherwise least_length.",
        )
    )
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$", max_length=3)] | None = Field(
        None, description="ISO 4217 code of the prices sent; echoed."
    )
    effort: Literal["quick", "standard", "thorough"] | None = Field(
        None, description="How much work the search may do. Default: standard."
    )
    note: Annotated[str, Field(max_length=500, pattern=PLAIN_TEXT)] | None = Field(
        None, description="Free text; never read."
    )


class CutStock(StickProduct):
    """Such stock as a product, made of what was sent.

    Its section plays no part, for no surface is covered and nothing is weighed.
    """

    @property
    def laid_width(self) -> int:
        """None of it is laid."""
        return 0


def stock_of(asked: CutPlanAsked) -> CutStock:
    """The stock of a request that has been read already."""
    words = asked.product or CutProduct(id="stock")
    return CutStock.model_construct(
        **{name: getattr(words, name) for name in type(words).model_fields},
        form="board",
        thickness=0,
        density=None,
        stock=asked.stock,
        owned=asked.owned,
    )
