"""What a request says of boards: the layer, the product, and the rules that can be set."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.bounds import Bearing, Margin, Reach, Spacing
from service.schemas.quantities import (
    Count,
    Degrees,
    Density,
    Lean,
    Length,
    LengthOrZero,
    Name,
    Percent,
    Positive,
)
from service.schemas.rules import DrivingRules, HoldRules, SawingRules, StockRules
from service.schemas.stock import Stocked, StockLength
from service.schemas.surface import LOW_SIDE, LayerBase


class BoardingRules(SawingRules, HoldRules, DrivingRules, StockRules):
    """Trade rules that concern boards. The nearest wins: layer, then surface, then job.

    The number of each rule stands in the kind's table of defaults, and with each value used in
    the answer's `basis`.
    """

    gap: Margin | None = Field(None, description="Gap at walls, all round.")
    min_rip: Margin | None = Field(None, description="No rip may be narrower.")
    preferred_rip: Margin | None = Field(None, description="Rips should be this wide.")
    taper_over: Margin | None = Field(None, description="Taper above which it is split.")
    feature_tolerance: Margin | None = Field(None, description="Miss allowed for an aim.")
    spacer_max: Margin | None = Field(None, description="Most that joints may be spread.")
    end_trim: Reach | None = Field(None, description="Trimmed off each end of a stick.")
    offcut_value: Percent | None = Field(
        None,
        description="Share of its price, by the length, at which a kept rest counts in the plan's "
        "cost, in whole feet (300 mm in metric jobs).",
    )
    min_piece: Reach | None = Field(None, description="Shortest piece of a jointed run.")
    min_bearings: Annotated[Count, Field(le=100)] | None = Field(
        None, description="Members that a piece of a jointed run touches, on open framing."
    )
    end_bearing: Bearing | None = Field(None, description="Bearing of each end at a joint.")
    stagger: Reach | None = Field(None, description="Joints of touching courses apart.")
    repeat: Reach | None = Field(None, description="Joints two courses apart differ by.")
    joint_from_hole: Reach | None = Field(
        None, description="No joint in a notched or holed course this near to the hole."
    )
    joint_beside_hole: Reach | None = Field(
        None, description="No joint in the courses beside an opening this near to its ends."
    )
    joint_from_panel_joint: Reach | None = Field(
        None, description="No joint this near to a joint of the panels behind."
    )
    min_leg: Margin | None = Field(None, description="Narrowest leg beside a hole.")
    merge_holes: Margin | None = Field(
        None, description="Openings nearer to each other than this, as cut, become one hole."
    )
    long_hole: Reach | None = Field(None, description="A hole longer than this is frail.")
    min_run: Reach | None = Field(None, description="A shorter run is left to the trim.")
    hanging_end: Reach | None = Field(
        None, description="A board end further than this from its last member hangs."
    )
    end_distance: Bearing | None = Field(None, description="Fastener from a piece's end.")
    panel_spacing: Spacing | None = Field(
        None, description="Fastener spacing of boards parallel to framing, into a panel."
    )
    block_spacing: Spacing | None = Field(None, description="Rows of blocks, on centre.")
    blind_up_to: Margin | None = Field(None, description="Widest board blind-nailed alone.")
    blind_angle: Lean | None = Field(None, description="Blind nail's lean from square.")
    per_crossing: Annotated[Count, Field(ge=1, le=12)] | None = Field(
        None,
        description="Face fasteners across a board at a bearing. Default: by its width; a rip "
        "under 2 in has one.",
    )


class Aim(Asked):
    """A feature that a joint between courses, or a board's centre, should meet."""

    at: LengthOrZero = Field(
        description="Station across the boards, from the outline's lowest point on the low side "
        "(see `start_side`), as drawn; on a slope in plan."
    )
    on: Literal["joint", "centre"]


class BoardFastening(Asked):
    """How the boards are fastened."""

    pattern: Literal["blind", "blind_face", "face", "lap"] | None = Field(
        None, description="Default: blind up to the width of `blind_up_to`, else blind_face; "
        "lap for lapped boards, face for others without a tongue."
    )  # fmt: skip
    product: Name | None = Field(None, description="Id of a fastener in `products`.")


class BoardingLayer(LayerBase):
    """A layer of boards."""

    kind: Literal["boarding"]
    direction: Degrees = Field(
        description="Direction of the boards' length; on a slope measured on the surface."
    )
    start: Literal["balanced", "balanced_narrow", "full_first", "equal"] | None = Field(
        None,
        description="How the odd width is shared. `equal`: courses of equal exposure, for lapped "
        "boards. Default: balanced; equal for lapped boards.",
    )
    start_side: Literal["low", "high"] | None = Field(
        None,
        description="The side, across the boards, on which course 1 lies. "
        f"{LOW_SIDE} Default: low.",
    )
    aim: Annotated[list[Aim], Field(max_length=8)] | None = None
    spacer: LengthOrZero | None = Field(None, description="Open joint between courses. Default 0.")
    edges: Literal["covered", "bare"] | None = Field(
        None, description="Whether a moulding covers the ends and edges. Default: covered."
    )
    joints: (
        Literal["framing", "framing_or_block", "sheathing", "anywhere", "floating", "none"] | None
    ) = Field(
        None,
        description="Where end joints may be. Default: framing; sheathing where the boards run "
        "with the framing over a backing, and for end-matched boards.",
    )
    blocks: bool | None = Field(
        None,
        description="Whether rows of blocks, `block_spacing` apart, stand behind boards that run "
        "with the framing. Default: no.",
    )
    fastening: BoardFastening | None = None
    rules: BoardingRules | None = None


class Nominal(Asked):
    """Nominal size in inches, for board feet."""

    thickness: Positive
    width: Positive


class BoardProduct(Stocked):
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
    thickness: Length
    nominal: Nominal | None = None
    stock: Annotated[list[StockLength], Field(min_length=1, max_length=24)]
    density: Density | None = None

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
