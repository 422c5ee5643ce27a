"""What a request says of a layer of sheets, and the rules that can be set."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.products.goods.lumber.spec import LumberRules
from service.products.goods.sheet.spec import SheetRules
from service.products.goods.tape.spec import TapeRules
from service.schemas.base import Asked
from service.schemas.bounds import Bearing, Margin, Reach, Spacing
from service.schemas.finishing import FinishedLayer
from service.schemas.quantities import (
    Count,
    Degrees,
    Name,
)
from service.schemas.rules import BackingRules, DrivingRules, HoldRules
from service.schemas.surface import LOW_SIDE


class SheathingRules(SheetRules, LumberRules, TapeRules, HoldRules, DrivingRules, BackingRules):
    """Trade rules that concern sheets. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there. The number of each rule stands in the
    kind's table of defaults, and with each value used in the answer's `basis`.
    """

    panel_gap: Margin | None = Field(None, description="Gap between sheets.")
    panel_wall_gap: Margin | None = Field(None, description="Gap between sheets and walls.")
    panel_end_bearing: Bearing | None = Field(
        None, description="Bearing of each of two sheets that meet on a member."
    )
    panel_min_piece: Reach | None = Field(None, description="Shortest piece of a jointed row.")
    panel_min_bearings: Annotated[Count, Field(le=100)] | None = Field(
        None, description="Members that a piece of a jointed row touches."
    )
    panel_stagger: Reach | None = Field(
        None, description="End joints of neighbouring rows apart. Default: one member spacing."
    )
    joint_from_corner: Reach | None = Field(
        None, description="No sheet joint this near to a corner of an opening."
    )
    min_run: Reach | None = Field(None, description="A shorter part is left out.")
    edge_distance: Bearing | None = Field(None, description="Fastener from a sheet's edge.")
    trim_spacing: Spacing | None = Field(None, description="Nails or pins along trim, apart.")
    trim_bite: Bearing | None = Field(
        None, description="What a nail of trim must hold behind it, in wood."
    )
    end_distance: Bearing | None = Field(None, description="Fastener from a piece's end.")


class SheetFastening(Asked):
    """How the sheets are fastened."""

    product: Name | None = Field(None, description="Id of a fastener in `products`.")
    edge: Spacing | None = Field(None, description="Spacing at edges. Default 6 in.")
    field: Spacing | None = Field(None, description="Spacing elsewhere. Default 12 in.")
    clip: Name | None = Field(
        None, description="Id of a clip in `products`, of sheets whose `edges` are clips."
    )


class SheetStrips(Asked):
    """Strips on the face of sheets that show: battens over seams, strips along end joints."""

    seams: Name | None = Field(
        None, description="Id of the lumber that covers the seams between rows. Default: none."
    )
    ends: Name | None = Field(
        None, description="Id of the lumber along end joints, as an H-strip is. Default: none."
    )
    fastener: Name | None = Field(
        None, description="Id of the fastener in `products` that holds them."
    )


class SheathingLayer(FinishedLayer):
    """A layer of sheets, behind what is laid on them or as a panelling that shows."""

    kind: Literal["sheathing"]
    direction: Degrees | None = Field(
        None,
        description="Direction of the sheets' length; on a slope measured on the surface. "
        "Default: across the members; upright on a wall where the sheets have beads or lap.",
    )
    start_side: Literal["low", "high"] | None = Field(
        None,
        description=f"The side, across the sheets, on which row 1 lies. {LOW_SIDE} Default: low.",
    )
    edges: Literal["open", "blocked", "tongue", "clips"] | None = Field(
        None,
        description="What stands under edges that no member carries: nothing, blocks in each bay, "
        "a tongue of the sheet's own, or a clip in each bay. Default: open; blocked where the "
        "sheets have beads or lap.",
    )
    patches: Literal["rows", "blocks"] | None = Field(
        None,
        description="How sheets that are up are patched where a change opens them: in whole rows, "
        "or as wide as it takes, with blocks behind the edges that no member carries. Default: "
        "rows.",
    )
    end_joints: Literal["staggered", "level"] | None = Field(
        None,
        description="Whether end joints of rows beside each other are apart, or all lie in the "
        "same lines, as under one strip of a panelling. Default: staggered.",
    )
    wrap_corner: Name | None = Field(
        None,
        description="Id of a surface, before this one in the request, whose rows go on round the "
        "corner at which these start: the first row is the offcut of its last sheet. Of sheets "
        "that show. Default: each surface by itself.",
    )
    strips: SheetStrips | None = Field(
        None, description="Strips over seams and end joints. Default: none."
    )
    tape: Name | None = Field(
        None,
        description="Id of the tape in `products` over seams, end joints and round openings. "
        "Default: none.",
    )
    fastening: SheetFastening | None = None
    rules: SheathingRules | None = None
