"""What is sent to have pieces cut from sticks, with no surface that they lie on."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.bounds import Reach
from service.schemas.described import PLAIN_TEXT, Described
from service.schemas.quantities import Count, Degrees, Length, Name
from service.schemas.rules import BladeRules, StockRules
from service.schemas.stock import OWNED, Nominal, OwnedStick, StickLength, StickProduct

MOST_LINES = 500
MOST_OF_A_LINE = 10_000


class MitredEnd(Asked):
    """An end that is cut at an angle across the face (4.5)."""

    mitre: Annotated[Degrees, Field(gt=0, le=75)] = Field(
        description="How far off square, in degrees: 45 of a frame."
    )
    long: Literal["near", "far"] = Field(
        description="Which edge has its long point, as the face is seen: the lower is near."
    )


CutEnd: TypeAlias = Literal["square", "covered", "matched"] | MitredEnd
"""What becomes of an end: it is squared, or a moulding covers it and it may stay raw (8.1).

Or it meets the next board with the tongue or the groove that the mill gave that end of the stick.
"""


class CutPiece(Asked):
    """Pieces of one length."""

    id: Name | None = Field(
        None, description="What they are called in the answer: `jamb.1`, `jamb.2`. Default: p1, p2."
    )
    length: Length = Field(description="As cut; of mitred ends from long point to long point.")
    count: Annotated[Count, Field(ge=1, le=MOST_OF_A_LINE)] | None = Field(
        None, description="How many. Default: 1."
    )
    ends: Annotated[list[CutEnd], Field(min_length=2, max_length=2)] | None = Field(
        None,
        description="Left and right end. `square`: it meets another board or stays in view, and a "
        "raw end of a stick is squared there (`joint_trim`). `covered`: a moulding covers it, and "
        "it may stay as the mill left it (`wall_trim`). `matched`: it keeps the tongue or groove "
        "of that end of an end-matched stick, of which nothing is trimmed; then every other end is "
        "`covered`, and no piece is turned. Mitred: `{mitre, long}`; two that lie "
        "alike and follow each other in a stick are parted by one cut. Default: both square.",
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
    width: Length | None = Field(
        None, description="Of the stock across its face; needed where an end is mitred."
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

    @model_validator(mode="after")
    def _has_a_face(self) -> CutPlanAsked:
        ends = [end for one in self.pieces for end in one.ends or ()]
        if self.width is None and any(isinstance(end, MitredEnd) for end in ends):
            raise PydanticCustomError(
                "width", "an end is mitred: give `width`, how wide the stock is across its face"
            )
        return self


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
