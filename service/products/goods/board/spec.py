"""What a request says of a board, and the rules of buying and sawing it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.quantities import Length, LengthOrZero, Name, Percent
from service.schemas.rules import StickRules
from service.schemas.stock import StickProduct, StockLength


class BoardRules(StickRules):
    """Rules of the stock of boards."""

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
    stock: Annotated[list[StockLength], Field(min_length=1, max_length=24)]

    @property
    def laid_width(self) -> int:
        """A board's width over all, in ticks."""
        return self.overall

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
