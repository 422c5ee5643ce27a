"""What a request says of a layer of boards, and the rules that can be set."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, PlainValidator, WithJsonSchema, model_validator
from pydantic_core import PydanticCustomError

from service.products.goods.board.spec import BoardRules
from service.products.goods.lumber.spec import LumberRules
from service.schemas.base import Asked
from service.schemas.bounds import Bearing, Margin, Reach, Spacing
from service.schemas.finishing import FinishedLayer
from service.schemas.quantities import (
    Count,
    Degrees,
    Lean,
    LengthOrZero,
    Name,
    wrong,
)
from service.schemas.rules import BackingRules, BlockRowRules, DrivingRules, HoldRules
from service.schemas.surface import LOW_SIDE


def _most_joints(value: object) -> int | str:
    """A count, or that there is no limit."""
    if value is None:
        return "any"
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 1000:
        raise wrong("`most_joints` is a whole number from 0 to 1000, or null for no limit")
    return value


MostJoints = Annotated[
    int | str | None,
    PlainValidator(_most_joints),
    WithJsonSchema({"anyOf": [{"type": "integer", "minimum": 0, "maximum": 1000},
                              {"type": "null"}]}),
]  # fmt: skip
"""How many joints a run has at most; the word `any` where null was sent, None where nothing was."""


class BoardingRules(BoardRules, LumberRules, HoldRules, DrivingRules, BackingRules, BlockRowRules):
    """Trade rules that concern boards. The nearest wins: layer, then surface, then job.

    The number of each rule stands in the kind's table of defaults, and with each value used in
    the answer's `basis`.
    """

    gap: Margin | None = Field(None, description="Gap at walls, all round.")
    overhang: Margin | None = Field(
        None, description="How far boards reach beyond an edge that `is` an overhang."
    )
    cut_wild: Margin | None = Field(
        None,
        description="How much longer boards are laid whose ends overhang an edge, to be cut to a "
        "line once all are fastened.",
    )
    least_exposure: Margin | None = Field(
        None, description="What must show of a lapped board where `course_lines` part its courses."
    )
    min_rip: Margin | None = Field(None, description="No rip may be narrower.")
    preferred_rip: Margin | None = Field(None, description="Rips should be this wide.")
    unsawn: Margin | None = Field(
        None,
        description="A covered gap takes a rip that would remove less than this, where no gap was "
        "sent, and a strip left over of no more than it and 1/8 in; 0: all is sawn.",
    )
    taper_over: Margin | None = Field(None, description="Taper above which it is split.")
    feature_tolerance: Margin | None = Field(None, description="Miss allowed for an aim.")
    spacer_max: Margin | None = Field(None, description="Most that joints may be spread.")
    min_piece: Reach | None = Field(None, description="Shortest piece of a jointed run.")
    min_bearings: Annotated[Count, Field(le=100)] | None = Field(
        None, description="Members that a piece of a jointed run touches, on open framing."
    )
    most_joints: MostJoints = Field(
        None,
        description="Joints of a run at most, null for no limit. Default: one for each 96 in of "
        "it, at least one. More are made only where no plan was found without, which is told.",
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
    block_spacing: Spacing | None = Field(
        None, description="Rows of blocks, on centre: at most so far apart."
    )
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

    pattern: (
        Literal["blind", "blind_face", "face", "lap", "clip", "deck_face", "glue_pin"] | None
    ) = Field(
        None,
        description="`clip`: a clip at each board and member, with the first course and the last "
        "faced. `deck_face`: two in each board at each member. `glue_pin`: glued, and pinned as "
        "`face`; the glue is among the layer's `beads`. Default: blind up to the width of "
        "`blind_up_to`, else blind_face; lap for lapped boards, deck_face on a deck, face for "
        "others without a tongue.",
    )
    product: Name | None = Field(None, description="Id of a fastener in `products`.")
    clip: Name | None = Field(
        None, description="Id of a clip in `products`, of the pattern `clip`."
    )
    clip_ends: bool | None = Field(
        None, description="Whether each end of a piece has a clip of its own too. Default: no."
    )

    @model_validator(mode="after")
    def _clipped(self) -> BoardFastening:
        if self.pattern != "clip" and (self.clip is not None or self.clip_ends):
            raise PydanticCustomError(
                "clip", "`clip` and `clip_ends` go with the pattern `clip`: send it too"
            )
        return self


class BoardingLayer(FinishedLayer):
    """A layer of boards."""

    kind: Literal["boarding"]
    direction: Degrees = Field(
        description="Direction of the boards' length; on a slope measured on the surface."
    )
    start: Literal["balanced", "balanced_narrow", "full_first", "equal"] | None = Field(
        None,
        description="How the odd width is shared. `equal`: courses of equal exposure, for lapped "
        "boards. Default: the best of these and of all other start lines; equal for lapped boards, "
        "full_first for a wall boarded level and for a soffit along its length.",
    )
    start_side: Literal["low", "high"] | None = Field(
        None,
        description="The side, across the boards, on which course 1 lies. "
        f"{LOW_SIDE} Default: low.",
    )
    aim: Annotated[list[Aim], Field(max_length=8)] | None = None
    bays: Literal["continuous", "per_bay"] | None = Field(
        None,
        description="Where layers behind part the surface, as beams or a vent strip do: "
        "`continuous`, the lines of the courses run on from bay to bay; `per_bay`, each bay is "
        "laid by itself, and an aim is met in the bays in which it lies. Default: continuous; "
        "per_bay on the two sides of a strip that runs along the boards.",
    )
    course_lines: Annotated[list[LengthOrZero], Field(min_length=1, max_length=8)] | None = Field(
        None,
        description="Of lapped boards: heights at which a course begins, as those of sills and "
        "heads, as an `aim` measures them. Between them exposures are equal, and all are as alike "
        "as they can be. Default: equal over the whole height.",
    )
    wrap_corner: Name | None = Field(
        None,
        description="Id of a surface, before this one in the request, whose courses go on round "
        "the corner at which these start: the first course is what is left of its last board. "
        "Default: each surface by itself.",
    )
    spacer: LengthOrZero | None = Field(None, description="Open joint between courses. Default 0.")
    edges: Literal["covered", "bare"] | None = Field(
        None, description="Whether a moulding covers the ends and edges. Default: covered."
    )
    joints: (
        Literal["framing", "framing_or_block", "sheathing", "anywhere", "floating", "none"] | None
    ) = Field(
        None,
        description="Where end joints may be. Default: framing; sheathing where the boards run "
        "with the framing over a backing, and for end-matched boards; framing_or_block, on the "
        "rows alone, where they bear on `blocks`.",
    )
    blocks: bool | None = Field(
        None,
        description="Whether rows of blocks, `block_spacing` apart, stand behind boards that run "
        "with the framing; without a `backing` the boards bear on them alone. Default: no.",
    )
    plates: bool | None = Field(
        None,
        description="Whether plates stand across both ends of boards that run with the framing: "
        "they bear the ends, and no `blocks` are cut for the first and the last row. Default: no.",
    )
    starter: Name | None = Field(
        None,
        description="Of lapped boards: id of the lumber in `products` of which the starter strip "
        "behind the first course is cut. Default: none is ordered, and a finding says how long.",
    )
    fastening: BoardFastening | None = None
    rules: BoardingRules | None = None
