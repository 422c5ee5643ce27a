"""What a request says of a board, and the rules of buying and sawing it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field, PlainValidator, ValidationInfo, WithJsonSchema, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.bounds import Reach
from service.schemas.quantities import (
    Length,
    LengthOrZero,
    Name,
    Percent,
    length_of,
    length_schema,
    wrong,
)
from service.schemas.rules import StickRules
from service.schemas.stock import StickLength, StickProduct
from service.schemas.tallies import Tally
from service.schemas.written import read_length

MOST_FOR_A_JOINT = 1_000_000


def _joint_cost(value: object, info: ValidationInfo) -> Fraction | int:
    """A number as it is, in whatever is saved; a written length in ticks."""
    if isinstance(value, str):
        length = length_of(value, info)
        if length > read_length("1000 ft"):
            raise wrong("`joint_cost` is at most 1000 ft of board")
        return length
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise wrong("`joint_cost` is a number, or a written length such as 36 in")
    if not 0 <= value <= MOST_FOR_A_JOINT:
        raise wrong(f"`joint_cost` must be from 0 to {MOST_FOR_A_JOINT}")
    if (Fraction(value) * 10_000).denominator != 1:
        raise wrong("`joint_cost` has at most 4 decimals")
    return Fraction(value)


JointCost = Annotated[
    Fraction | int,
    PlainValidator(_joint_cost),
    WithJsonSchema(
        length_schema(
            "A number from 0 to 1 000 000: money under `least_cost`, a length in the request's "
            "unit under `least_length` and `fewest_lengths`. Or a length of board, up to 1000 ft, "
            "as the trade writes it.",
            minimum=0,
            maximum=MOST_FOR_A_JOINT,
        )
    ),
]
"""Money or a number of units as a Fraction, or a length of board as ticks."""


class BoardRules(StickRules):
    """Rules of the stock of boards."""

    joint_trim: Reach | None = Field(
        None,
        description="Trimmed off a raw end of a stick where it meets another board or stays in "
        "view, its own saw cut included.",
    )
    wall_trim: Reach | None = Field(
        None,
        description="Trimmed off a raw end of a stick that a moulding or a flange covers.",
    )
    joint_cost: JointCost | None = Field(
        None,
        description="What a field joint counts for beside the boards: money, or a length of board "
        "at the lowest price by the foot; 0 for the bare cost of boards.",
    )
    offcut_value: Percent | None = Field(
        None,
        description="Share of its price, by the length, at which a kept rest counts in the plan's "
        "cost, in whole feet (300 mm in metric jobs).",
    )


class BoardProduct(StickProduct):
    """A board: its actual sizes, and the lengths it comes in.

    Give `coverage`, or for tongue-and-groove `tongue`, for shiplap and lapped `lap`; it is never
    guessed from the nominal size.
    """

    id: Name
    form: Literal["board"]
    profile: Literal["tongue_and_groove", "shiplap", "square_edge", "lapped"]
    ends: Literal["square", "end_matched"] | None = Field(None, description="Default: square.")
    overall: Length = Field(description="Actual width over all.")
    coverage: Length | None = Field(None, description="Width that shows, course to course.")
    tongue: LengthOrZero | None = None
    lap: LengthOrZero | None = None
    groove_depth: LengthOrZero | None = Field(None, description="Default: overall - coverage.")
    stock: Annotated[list[StickLength], Field(min_length=1, max_length=24)]
    tally: Tally | None = Field(
        None,
        description="The mix in which it comes where it is sold in random lengths: the answer then "
        "says beside the plan from `stock` what that would take (`random_lengths`).",
    )

    @property
    def laid_width(self) -> int:
        """A board's width over all, in ticks."""
        return self.overall

    @property
    def pattern(self) -> str:
        """What its edges are worked to, as an order writes it."""
        return {"tongue_and_groove": "T&G", "shiplap": "shiplap", "lapped": "siding"}.get(
            self.profile, ""
        )

    @model_validator(mode="after")
    def _covers(self) -> BoardProduct:
        if self.profile == "square_edge":
            return self
        if self.coverage is None and self.tongue is None and self.lap is None:
            part = "tongue" if self.profile == "tongue_and_groove" else "lap"
            raise PydanticCustomError(
                "coverage",
                "a board needs its coverage: give `coverage`, or `{part}` to take off `overall`",
                {"part": part},
            )
        return self
