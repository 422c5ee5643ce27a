"""What a change order says besides the two jobs."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.described import PLAIN_TEXT
from service.schemas.liquids import Holds
from service.schemas.quantities import Count, Length, Name
from service.schemas.stock import TwoEnds

MOST_ROWS = 200


class Leftover(Asked):
    """Cut stock or an opened package that is left: used first, as it lies, and never given back."""

    product: Name = Field(description="Id of the product in `after`.")
    length: Length | None = Field(
        None, description="Of a stick, sheet or roll, or of a fastener; none of tape."
    )
    count: Count = Field(description="How many there are; of fasteners, piece by piece.")
    ends: TwoEnds | None = Field(
        None,
        description="Of a stick its left and its right end, of boards the tongue away from the "
        "viewer: a `cut` end needs no trim. Default: both raw.",
    )
    holds: Holds | None = Field(
        None, description="Of a coating or a sealant: what a full can or tube holds."
    )
    left: Holds | None = Field(
        None, description="Of an opened can or tube: what is still in it. Default: it is full."
    )
    width: Length | None = Field(
        None,
        description="Of a board that was ripped, what is left of it across. It is no whole board: "
        "no plan takes it, and a step has it tried first for what is ripped. Default: whole.",
    )


class Delivered(Asked):
    """Whole sticks, sheets, rolls or packages of the first order that came and are not used."""

    product: Name = Field(description="Id of the product in `after`.")
    length: Length | None = Field(
        None, description="Of a stick, sheet or roll, or of a fastener; none of tape."
    )
    count: Count = Field(description="How many there are; of fasteners, piece by piece.")
    holds: Holds | None = Field(
        None, description="Of a coating or a sealant: what a can or tube holds."
    )
    returnable: bool | None = Field(
        None, description="Whether the yard takes them back. Default: false."
    )


class Stretch(Asked):
    """Courses, rows or runs of a layer by their numbers, both included."""

    first: Annotated[Count, Field(ge=1)] = Field(alias="from")
    last: Annotated[Count, Field(ge=1)] = Field(alias="to")


class Installed(Asked):
    """What is up of the first job: a surface or a layer of it, whole or some of its pieces."""

    surface: Name | None = Field(None, description="Default: every surface.")
    layer: Name | None = Field(None, description="Default: every layer.")
    courses: Stretch | None = Field(
        None, description="Only these courses, as the first answer numbers them."
    )
    pieces: (
        Annotated[
            list[Annotated[str, Field(max_length=120, pattern=PLAIN_TEXT)]],
            Field(min_length=1, max_length=10_000),
        ]
        | None
    ) = Field(None, description="Only these pieces, by the `id` of the first answer.")


class MadeBy(Asked):
    """The `version` of an answer, as it said it."""

    service: Annotated[str, Field(max_length=32, pattern=PLAIN_TEXT)] | None = None
    rules: Annotated[str, Field(max_length=32, pattern=PLAIN_TEXT)] | None = None
    digest: Annotated[str, Field(max_length=100, pattern=PLAIN_TEXT)] | None = None


class ChangeBase(Asked):
    """What a change order says besides the two jobs; `service.request` adds those."""

    installed: (
        Literal["nothing", "everything"]
        | Annotated[list[Installed], Field(min_length=1, max_length=MOST_ROWS)]
        | None
    ) = Field(None, description="What of the first job is up. Default: nothing.")
    leftovers: Annotated[list[Leftover], Field(max_length=MOST_ROWS)] | None = Field(
        None, description="What is left of cut stock and opened packages. Default: none."
    )
    delivered: Annotated[list[Delivered], Field(max_length=MOST_ROWS)] | None = Field(
        None,
        description="What of the first order is there, whole. Where this is not sent and nothing "
        "is up, the order is the difference of the two orders; where some is up, nothing of the "
        "first order is taken to be there but its spares.",
    )
    before_version: MadeBy | None = Field(
        None, description="The `version` of the first answer, to be compared with this one's."
    )
