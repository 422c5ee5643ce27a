"""What a request says of box beams, and the rules that can be set."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from service.products.goods.board.spec import BoardRules
from service.products.goods.lumber.spec import LumberRules
from service.products.goods.sheet.spec import SheetRules
from service.schemas.base import Asked
from service.schemas.bounds import Bearing, Margin, Reach, Spacing, Within
from service.schemas.finishing import FinishedLayer
from service.schemas.quantities import Count, Degrees, Length, LengthOrZero, Name
from service.schemas.rules import BlockRowRules, BlockRules, DrivingRules, HoldRules
from service.schemas.surface import LOW_SIDE
from service.schemas.ways import each_alone, said_as

MOST_BEAMS = 24


class BoxBeamRules(
    BoardRules, SheetRules, LumberRules, HoldRules, DrivingRules, BlockRules, BlockRowRules
):
    """Trade rules that concern box beams. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there. The number of each rule stands in the
    kind's table of defaults, and with each value used in the answer's `basis`.
    """

    tuck: Margin | None = Field(
        None,
        description="How far boards reach under each face of a beam that they are laid to before "
        "its skins are on.",
    )
    core_play: Bearing | None = Field(
        None, description="What a core is narrower than the room between the skins, in all."
    )
    spring: Bearing | None = Field(
        None, description="What a butting part is cut longer than the clear between two faces."
    )
    spring_from: Reach | None = Field(None, description="Clear length from which it is.")
    part_step: Annotated[int, Within("0.0001 in", "1 in")] | None = Field(
        None, description="Parts of beams are cut to multiples of this."
    )
    min_piece: Reach | None = Field(None, description="Shortest piece of a jointed run.")
    part_stagger: Reach | None = Field(
        None, description="Joints in the parts of one beam, and in its core, apart."
    )
    part_spacing: Spacing | None = Field(
        None, description="Fasteners of sides and bottoms apart, at most."
    )
    end_distance: Bearing | None = Field(None, description="Fastener from a piece's end.")
    core_fasteners: Annotated[Count, Field(le=12)] | None = Field(
        None, description="Fasteners of a core at each member or block."
    )
    ladder_spacing: Spacing | None = Field(
        None, description="Blocks between members over a beam that runs with them, apart."
    )
    edge_trim: Margin | None = Field(
        None,
        description="What is ripped off the eased edge of a board, its saw cut in it, before skins "
        "with square edges are ripped from it.",
    )


class BeamSet(Asked):
    """Beams that lie in one direction: so many evenly, on centre lines, or by clear bays.

    Positions are measured across the beams from the outline's lowest point: along +x for beams of
    direction 90, along +y for 0, otherwise along `direction` + 90 or - 90 degrees, whichever lies
    from 0 up to 180.
    """

    model_config = ConfigDict(json_schema_extra=said_as(*each_alone("count", "centres", "clear")))

    direction: Degrees = Field(description="Direction of the beams' length.")
    count: Annotated[Count, Field(le=MOST_BEAMS)] | None = Field(
        None, description="How many, with equal clear bays; half beams at walls not counted."
    )
    centres: Annotated[list[Length], Field(min_length=1, max_length=MOST_BEAMS)] | None = Field(
        None, description="The centre line of each."
    )
    clear: Annotated[list[Length], Field(min_length=1, max_length=MOST_BEAMS)] | None = Field(
        None, description="A clear bay before each, from the low side on; the last bay is the rest."
    )
    walls: Annotated[list[Literal["low", "high"]], Field(max_length=2)] | None = Field(
        None, description=f"Walls with a half beam along them. {LOW_SIDE} Default: none."
    )
    wall_width: Length | None = Field(
        None, description="Finished width of a half beam. Default: half the width."
    )
    width: Length | None = Field(None, description="Default: that of the layer.")
    drop: Length | None = Field(None, description="Default: that of the layer.")
    through: bool | None = Field(
        None,
        description="Whether these run through the crossings. Default: the deeper ones, else those "
        "that run the longer way.",
    )

    @model_validator(mode="after")
    def _one_way_of_saying(self) -> BeamSet:
        if sum(one is not None for one in (self.count, self.centres, self.clear)) != 1:
            raise PydanticCustomError(
                "beams", "give exactly one of `count`, `centres` and `clear` for a set of beams"
            )
        return self


class BeamFastening(Asked):
    """How the parts are fastened."""

    product: Name | None = Field(
        None, description="Id of the fastener in `products` that holds sides and bottoms."
    )
    core: Name | None = Field(
        None, description="Id of the fastener in `products` that holds cores to the members."
    )


class BoxBeamLayer(FinishedLayer):
    """Box beams, as of a coffered ceiling: skins on a core or cleat."""

    kind: Literal["box_beams"]
    product: Name = Field(
        description="Id of a board with square edges in `products`, of which the skins are ripped, "
        "or of a plain sheet: from that they are ripped along its length, beside the panels of the "
        "same product."
    )
    core: Name | None = Field(
        None, description="Id of the lumber of which cores are cut. Default: none is ordered."
    )
    sets: Annotated[list[BeamSet], Field(min_length=1, max_length=2)] = Field(
        description="One set of beams, or two that cross squarely, in either order."
    )
    width: Length = Field(description="Finished width of a beam, over its skins.")
    drop: Length = Field(description="Finished depth of a beam below the face that it meets.")
    mode: Literal["boards_over", "boards_to_beam", "between_blocking"] | None = Field(
        None,
        description="`boards_over`: what is laid before the beams runs through over them, and "
        "nothing is split. `boards_to_beam`: what is laid after this layer lies in bays, and "
        "reaches under each beam by `tuck`, without a gap there. `between_blocking`: it ends at "
        "the faces of the cores, with its gap. Default: boards_to_beam.",
    )
    corners: Literal["sides_outside", "bottom_over", "mitred"] | None = Field(
        None,
        description="How the skins meet along a beam: the bottom between the sides, the sides on "
        "the bottom, or mitred edges. Default: sides_outside.",
    )
    reveal: LengthOrZero | None = Field(
        None,
        description="How far a bottom between the sides is set up from their edges. Default: 0.",
    )
    crossings: Literal["butted", "mitred"] | None = Field(
        None,
        description="Whether one set runs through the crossings and the other butts into it, or "
        "both are cut and their bottoms mitred in a cross. Default: butted.",
    )
    core_width: Length | None = Field(
        None,
        description="Width of the core, cleat or blocking. Default: what the skins leave less "
        "`core_play`.",
    )
    square_edges: bool | None = Field(
        None,
        description="Whether the skins are to have square edges where those of their boards are "
        "eased: `edge_trim` is ripped off each board or sheet once. Default: no.",
    )
    fastening: BeamFastening | None = None
    rules: BoxBeamRules | None = None
