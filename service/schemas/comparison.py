"""What is sent to have a job compared with variations of it, beside the job."""

from __future__ import annotations

from typing import Annotated, Final, Literal, TypeAlias

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.json_patch import Patch
from service.schemas.quantities import Length, Name
from service.schemas.stock import OwnedStick

MOST_VARIATIONS: Final = 40

Question: TypeAlias = Literal[
    "on_hand", "waste", "remeasure", "remeasure_openings", "remeasure_members"
]


class Variation(Asked):
    """The job with something changed."""

    id: Name
    patch: Patch = Field(description="Operations of RFC 6902 that make it of the job.")


class DeliveredBoards(Asked):
    """What came of a product, or was found on the site."""

    product: Name
    lengths: Annotated[list[OwnedStick], Field(min_length=1, max_length=24)] | None = Field(
        None,
        description="Tally of what came: each length, and how many sound pieces of it. It takes "
        "the place of `owned`. Default: as much as is wanted.",
    )
    ten_boards: Length | None = Field(
        None,
        description="Faces of ten boards laid tight, measured across: their coverage is a tenth. "
        "Default: as the product says.",
    )

    @model_validator(mode="after")
    def _says_something(self) -> DeliveredBoards:
        if self.lengths is None and self.ten_boards is None:
            raise PydanticCustomError("delivered", "give `lengths`, `ten_boards` or both")
        return self


class ComparisonBase(Asked):
    """What is compared with the job; `service.request` adds the job."""

    variations: Annotated[list[Variation], Field(max_length=MOST_VARIATIONS)] | None = Field(
        None, description="Each is solved as it would be alone. The job itself is always compared."
    )
    ask: Annotated[list[Question], Field(max_length=5)] | None = Field(
        None,
        description="Questions of the job itself. `on_hand`: can it be done with what there is "
        "(`on_hand` of stock lengths, `owned`), and if not, what is the least to buy? `waste`: "
        "where does what is bought go, which rule costs most, and which change saves most? "
        "`remeasure`: what does the order become if a measure of an outline is off by 1/4 or "
        "1/2 in (6 or 12 mm), and which is worth measuring again? `remeasure_openings` and "
        "`remeasure_members` ask the same of where openings lie and how large they are, and of the "
        "marks of the members, all off together. Each is work of its own.",
    )
    delivered: Annotated[list[DeliveredBoards], Field(min_length=1, max_length=60)] | None = Field(
        None,
        description="What came: is it enough, what is short, and which courses are ripped anew?",
    )

    @model_validator(mode="after")
    def _asks_something(self) -> ComparisonBase:
        if not (self.variations or self.ask or self.delivered):
            raise PydanticCustomError(
                "compare", "nothing to compare: give `variations`, `ask` or `delivered`"
            )
        return self
