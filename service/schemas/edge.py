"""The edges of a surface, as a request tells of them."""

from __future__ import annotations

from typing import Annotated, Final, Literal, TypeAlias

from pydantic import ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.bounds import Margin
from service.schemas.described import Word
from service.schemas.quantities import Count, Degrees, Length, Name
from service.schemas.ways import said_as, way

EdgeKind: TypeAlias = Literal[
    "covered", "bare", "tight", "mitre", "inside_first", "inside_second", "outside_lapping",
    "outside_butting", "outside_mitred", "overhang",
]  # fmt: skip
"""What an edge is."""

CORNERS: Final = frozenset(
    {"inside_first", "inside_second", "outside_lapping", "outside_butting", "outside_mitred"}
)
"""What an edge is where two walls meet in a corner."""

TURNS: Final = frozenset({"inside_first", "inside_second", "outside_mitred"})
"""Corners that need not be square: at others one wall laps the square end of the next."""


class Edge(Asked):
    """What one edge of the outline is, the gap that boards keep there, and what lies beyond it.

    Edges are numbered from 0 by their first corner, in the order in which corners are sent: edge 0
    leads from corner 0 to corner 1, the last one back to corner 0. Of a rectangle 0 is the side
    along x at y 0, then 1 at x `length`, 2 at y `width`, 3 at x 0; of four `sides` each has its
    place in the list.
    """

    model_config = ConfigDict(json_schema_extra=said_as(way("is"), way("gap"), way("beside")))

    edge: Annotated[Count, Field(le=1999)] = Field(description="Its number, from 0 on.")
    what: EdgeKind | None = Field(
        None,
        alias="is",
        description="`covered`: a moulding or a beam hides the gap. `bare`: the boards' ends and "
        "edges are in view. `tight`: the boards are scribed to it, without a gap. `mitre`: another "
        "surface goes on beyond it, and both are mitred on it, with half a gap on each side; send "
        "it for both. Where two walls meet in a corner, each sends its own: `inside_first`, boards "
        "run into it with their gap; `inside_second`, they end at the face of those; "
        "`outside_lapping`, they lap the end of the other wall; `outside_butting`, they end at the "
        "corner, under that lap; `outside_mitred`, both reach beyond it. `overhang`: boards reach "
        "beyond it, as a deck's beyond its rim. Default: what the layer's `edges` say of all.",
    )
    thickness: Length | None = Field(
        None,
        description="Of a corner of walls: finished thickness of the other wall, of what is laid "
        "there. Default: as thick as the boards and what lies behind them here.",
    )
    meets: Name | None = Field(
        None,
        description="Of a corner of walls: id of the surface in the job that is the other wall, as "
        "thick as all that is laid flat on it. In the place of `thickness`.",
    )
    turn: Annotated[Degrees, Field(ge=15, le=90)] | None = Field(
        None,
        description="Degrees by which the walls turn at an inside corner, or at one that is "
        "mitred, from 15 to 90: 45 at a bay. Default: 90, a square corner.",
    )
    overhang: Length | None = Field(
        None, description="How far an overhang reaches. Default: the rule `overhang`, 1 in."
    )
    gap: Margin | None = Field(
        None,
        description="Gap of the boards there, of a mitre that between the two surfaces. Sheets "
        "keep `panel_wall_gap`, half of `panel_gap` at a mitre, and go by `thickness` where walls "
        "meet in a corner; wrap is turned down. Default: "
        "the rule `gap`, 0 where the boards are tight.",
    )
    beside: Word | None = Field(
        None,
        description="What stands there, as a crew would say it: `house`, `garden`. Written along "
        "the edge in the drawing, and read nowhere else.",
    )

    @model_validator(mode="after")
    def _says_something(self) -> Edge:
        if self.what is None and self.gap is None and self.beside is None:
            text = "say what the edge `is`, its `gap`, or what it lies `beside`"
            raise PydanticCustomError("edge", text)
        if self.thickness is not None and self.what not in CORNERS:
            raise PydanticCustomError(
                "edge", "`thickness` goes with an edge that `is` a corner of walls"
            )
        if self.meets is not None and (self.what not in CORNERS or self.thickness is not None):
            raise PydanticCustomError(
                "edge", "`meets` goes with a corner of walls that has no `thickness` of its own"
            )
        if self.turn is not None and self.what not in TURNS:
            raise PydanticCustomError(
                "edge", "`turn` goes with an inside corner of walls, or with one that is mitred"
            )
        if self.overhang is not None and self.what != "overhang":
            raise PydanticCustomError(
                "edge", "`overhang` says how far: send `is`: overhang with it"
            )
        return self
