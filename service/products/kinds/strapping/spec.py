"""What a request says of a layer of straps, and the rules that can be set."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.products.goods.lumber.spec import LumberRules
from service.schemas.base import Asked
from service.schemas.bounds import Margin, Within
from service.schemas.quantities import Count, Degrees, LengthOrZero, Name
from service.schemas.rules import DrivingRules, HoldRules
from service.schemas.surface import LayerBase


class StrappingRules(LumberRules, HoldRules, DrivingRules):
    """Trade rules that concern straps. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there.
    """

    strap_spacing: Annotated[int, Within("3 in", "60 in")] | None = Field(
        None, description="Straps on centre, at most."
    )
    strap_edge: Margin | None = Field(
        None,
        description="Centre of the first and of the last strap from its wall; at least half a "
        "strap.",
    )
    strap_fasteners: Annotated[Count, Field(ge=1, le=10)] | None = Field(
        None, description="Fasteners where a piece of a strap crosses a member."
    )


class StrapFastening(Asked):
    """How the straps are fastened."""

    product: Name | None = Field(None, description="Id of a fastener in `products`.")


class StrappingLayer(LayerBase):
    """Straps (furring) across the members: what is laid on them bears on the straps."""

    kind: Literal["strapping"]
    direction: Degrees | None = Field(
        None,
        description="Direction of the straps' length; on a slope measured on the surface. "
        "Default: across the members.",
    )
    lines: Literal["equal", "module"] | None = Field(
        None,
        description="`equal`: bays all alike, none over the spacing. `module`: full bays from the "
        "low side, and one short bay at the high side. Default: equal.",
    )
    first: LengthOrZero | None = Field(
        None,
        description="Centre of the first strap, across them from the outline's lowest point: then "
        "straps stand there and at every spacing on, and none is added at the walls.",
    )
    doubled: bool | Literal["joints"] | None = Field(
        None,
        description="Whether each strap is two side by side, as one alone is too narrow to carry a "
        "joint of boards; `joints`: those on which joints of what follows land, and no others. "
        "Default: no.",
    )
    fastening: StrapFastening | None = None
    rules: StrappingRules | None = None
