"""What a request says of coats, sealant and glue of a layer: the same of every kind of layer."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.bounds import Within
from service.schemas.quantities import Count, Name, Positive
from service.schemas.surface import LayerBase

Section = Annotated[int, Within("0.1 mm", "2 in")]
"""A side of a bead's section."""


class Coat(Asked):
    """Coats of primer, stain or paint on the pieces of a layer."""

    product: Name = Field(description="Id of a coating in `products`.")
    on: Literal["face", "all_sides"] | None = Field(
        None,
        description="`face`: what is in view once it is up. `all_sides`: all that is bought, on "
        "every side and edge, and the ends of each piece, as boards are primed before they go up. "
        "Default: face.",
    )
    coats: Annotated[Count, Field(ge=1, le=6)] | None = Field(
        None, description="How many coats. Default: 1."
    )
    raw: bool | None = Field(
        None,
        description="Whether the first of them goes on raw wood, which takes more. Default: yes "
        "for the first that the layer lists on its faces, no for those after it.",
    )
    profile: Annotated[Positive, Field(ge=1, le=3)] | None = Field(
        None,
        description="How much wider the face is, followed over its profile, than it is flat: about "
        "1.03 of a V joint, 1.1 of beads. Default: 1.",
    )
    end_grain: Annotated[Count, Field(ge=1, le=6)] | None = Field(
        None,
        description="How many times its area a cut end counts for, `all_sides` only: end grain "
        "drinks. Default: 2.",
    )
    deduct_over: Positive | None = Field(
        None,
        description="Openings of up to so many square feet are not deducted from a face, as "
        "painters measure. Default: 4.",
    )


class Bead(Asked):
    """Beads of sealant or glue along something that the layer has."""

    product: Name = Field(description="Id of a sealant in `products`.")
    along: Literal["edges", "openings", "pieces", "joints", "members"] = Field(
        description="`edges`: where the layer ends at walls without a gap, for a gap is left so "
        "that boards can move and is never filled. `openings`: round each as it is cut. `pieces`: "
        "the length of every piece. `joints`: across each end joint. `members`: across each piece "
        "on every member that it crosses, as glue on joists."
    )
    beads: Annotated[Count, Field(ge=1, le=12)] | None = Field(
        None, description="Beads beside one another. Default: 1."
    )
    width: Section = Field(description="Of the bead's section, at its face.")
    depth: Section = Field(description="Of the bead's section, from its face to its back.")
    fillet: bool | None = Field(
        None, description="Whether the section is a triangle, half of that. Default: no."
    )


class Filler(Asked):
    """What fills the holes over fasteners that are driven through the face."""

    product: Name = Field(description="Id of a sealant in `products`: what fills them.")
    width: Section = Field(description="Across one hole.")
    depth: Section = Field(description="How deep one is filled.")


class FinishedLayer(LayerBase):
    """A layer whose pieces may be coated, sealed and glued."""

    coats: Annotated[list[Coat], Field(max_length=6)] | None = Field(
        None, description="Primer, stain and paint, in the order in which they go on."
    )
    beads: Annotated[list[Bead], Field(max_length=8)] | None = Field(
        None, description="Beads of sealant and of glue."
    )
    filler: Filler | None = Field(
        None,
        description="What fills the holes of fasteners in the face; those in a tongue have none. "
        "Default: none.",
    )
