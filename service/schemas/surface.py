"""The surface that a request describes: its outline, slope, supports and openings."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import ConfigDict, Field, PlainValidator, model_validator
from pydantic_core import PydanticCustomError

from service.schemas.base import Asked
from service.schemas.edge import Edge
from service.schemas.flatness import Flatness
from service.schemas.quantities import (
    Degrees,
    Length,
    LengthOrZero,
    Name,
    Point,
    Positive,
    numbers,
    numbers_schema,
)
from service.schemas.ways import each_alone, said_as, way

SurfaceType: TypeAlias = Literal["ceiling", "soffit", "wall", "floor", "deck"]

Size = Annotated[
    tuple[int, ...],
    PlainValidator(numbers("length, width")),
    numbers_schema(
        "length, width",
        "Length along x, then width along y, of a rectangle from its low corner 0, 0.",
    ),
]
Box = Annotated[
    tuple[int, ...],
    PlainValidator(numbers("x, y, length, width")),
    numbers_schema(
        "x, y, length, width",
        "Its low corner (least x, least y): x, y; then length along x and width along y.",
    ),
]
Disc = Annotated[
    tuple[int, ...],
    PlainValidator(numbers("x, y, diameter")),
    numbers_schema("x, y, diameter", "x and y of the centre, then the diameter (no radius)."),
]
Ring = Annotated[
    list[Point],
    Field(
        min_length=3,
        max_length=2000,
        description="Corners in order, either way round; the last joins the first.",
    ),
]


LOW_SIDE = (
    "Low is least y for direction 0, least x for 90, else least along `direction` + 90 or - 90 "
    "degrees, whichever lies from 0 up to 180; as drawn, so `view` mirrors it too."
)
"""What the low side across a layer is, for the descriptions of sides."""


class Slope(Asked):
    """A pitch. Every dimension of the surface and of its openings is then a level (plan) one.

    So are the directions of `up` and of the supports, and a circle is round in plan. A layer's
    `direction` is measured on the surface laid flat, the plan stretched along `up`; so are gaps,
    clearances, laps and spacings of fasteners.
    """

    rise: Positive = Field(description="Rise for `run`; in any unit, only the ratio counts.")
    run: Positive = Field(description="Level run for `rise`.")
    up: Degrees = Field(description="Direction, in plan, in which the surface rises.")


class Supports(Asked):
    """The members behind the surface: by spacing and first position, or each one's position.

    Positions are centre lines, measured across the members from the outline's lowest point, or from
    `origin`: along +x for members of direction 90, along +y for 0, otherwise along `direction` + 90
    or - 90 degrees, whichever lies from 0 up to 180. A member beyond the outline is a finding; of
    those measured from an `origin`, each surface takes the ones that lie behind it.
    """

    model_config = ConfigDict(
        json_schema_extra=said_as(
            way("spacing", without=("at",)),
            way("at", without=("spacing", "first", "ends")),
        )
    )

    direction: Degrees = Field(description="Direction of the members' length, in plan.")
    spacing: Length | None = Field(None, description="Spacing on centre.")
    first: LengthOrZero | None = Field(
        None, description="Centre of the first member. Default: the spacing."
    )
    ends: bool | None = Field(
        None, description="Whether a further member stands against each end. Default: no."
    )
    at: Annotated[list[LengthOrZero], Field(min_length=1, max_length=2000)] | None = Field(
        None, description="Each member's centre, instead of spacing and first."
    )
    origin: Point | None = Field(
        None,
        description="The point of the drawing from which positions are measured, so that surfaces "
        "drawn in one plan stand on one framing grid; with a spacing it goes on to both sides of "
        "`first`. Default: the outline's lowest point across the members.",
    )
    thickness: Length | None = Field(None, description="Thickness of a member. Default 1-1/2 in.")
    shim: LengthOrZero | None = Field(
        None, description="Thickest shim on the members: fasteners pass it. Default none."
    )

    @model_validator(mode="after")
    def _one_way_of_saying(self) -> Supports:
        if (self.spacing is None) == (self.at is None):
            raise PydanticCustomError(
                "supports", "give either `spacing` (with `first`, `ends`) or `at`, not both"
            )
        if self.at is not None and (self.first is not None or self.ends is not None):
            raise PydanticCustomError("supports", "`first` and `ends` go with `spacing` only")
        return self


class Opening(Asked):
    """A hole in the surface: a hatch, a light, a fan, a post."""

    model_config = ConfigDict(
        json_schema_extra=said_as(*each_alone("rectangle", "circle", "outline"))
    )

    id: Name
    rectangle: Box | None = None
    circle: Disc | None = None
    outline: Ring | None = None
    clearance: LengthOrZero | None = Field(
        None, description="Clearance that the fixture's own sheet asks for, on each side."
    )
    cut_gap: LengthOrZero | None = Field(
        None, description="Saw gap on each side. Default 1/8 in, 0 under a flange."
    )
    flange: LengthOrZero | None = Field(
        None, description="Width of the ring or flange that covers the cut edge. Default none."
    )
    ring: Name | None = Field(
        None,
        description="Id of a product of the form `piece_goods`: the ring or plate that trims it, "
        "one for each opening. Its width over the cut edge is the `flange`. Default: none is "
        "ordered.",
    )
    fixture: Literal["can_light", "heavy"] | None = Field(
        None,
        description="What hangs in it. `can_light`: two blocks beside it are counted with the "
        "backing. `heavy`, as a fan: a rated brace or hanger carries it, by others. Default: "
        "nothing that asks for more than the opening does.",
    )

    @model_validator(mode="after")
    def _one_shape(self) -> Opening:
        if sum(shape is not None for shape in (self.rectangle, self.circle, self.outline)) != 1:
            raise PydanticCustomError(
                "opening", "give exactly one of `rectangle`, `circle` and `outline`"
            )
        return self


class Backing(Asked):
    """A solid panel or deck that already stands behind the layers and carries fasteners."""

    thickness: Length = Field(description="Thickness of the panel.")


class SurfaceBase(Asked):
    """One area: its measure, what it hangs on, and the layers from the framing outward."""

    model_config = ConfigDict(
        json_schema_extra=said_as(
            way("rectangle", without=("outline", "sides", "diagonals")),
            way("outline", without=("rectangle", "sides", "diagonals")),
            way("sides", "diagonals", without=("rectangle", "outline")),
        )
    )

    id: Name
    type: SurfaceType | None = Field(None, description="Default: ceiling.")
    view: Literal["facing", "plan"] | None = Field(
        None,
        description="`facing`: measured looking at the finished face (default). `plan`: seen "
        "through from above; the whole surface is mirrored, nothing else.",
    )
    rectangle: Size | None = None
    outline: Ring | None = None
    sides: Annotated[list[Length], Field(min_length=4, max_length=4)] | None = Field(
        None, description="Four sides in order: along x first, then round counter-clockwise."
    )
    diagonals: Annotated[list[Length], Field(min_length=1, max_length=2)] | None = Field(
        None, description="From the first corner to the third, then (a check) second to fourth."
    )
    edges: Annotated[list[Edge], Field(max_length=2000)] | None = Field(
        None,
        description="What edges of the outline are, where they differ from what the layers say of "
        "all. Any number of them, in any order.",
    )
    slope: Slope | None = None
    supports: Supports | None = Field(
        None, description="The members behind it. Default: those of the whole job."
    )
    flatness: Flatness | None = Field(
        None, description="Readings of how flat the members lie. Default: they are taken as flat."
    )
    openings: Annotated[list[Opening], Field(max_length=200)] | None = None
    backing: Backing | None = None
    framing: Literal["plain", "treated"] | None = Field(
        None,
        description="Whether its framing is treated with a preservative that holds copper: "
        "fasteners are held against it. Default: plain.",
    )
    near_salt: bool | None = Field(
        None, description="Whether salt air or spray reaches it. Default: no."
    )
    nailers: Name | None = Field(
        None,
        description="Id of the lumber of which nailers, headers and blocks behind it are cut, "
        "where they are counted. Default: that of the whole job; without any they are not ordered.",
    )
    nailer_fastener: Name | None = Field(
        None,
        description="Id of the fastener that holds those to the framing. Default: that of the "
        "whole job; without any they are counted and not ordered.",
    )

    @model_validator(mode="after")
    def _one_outline(self) -> SurfaceBase:
        shapes = (self.rectangle, self.outline, self.sides)
        if sum(shape is not None for shape in shapes) != 1:
            raise PydanticCustomError(
                "surface", "give exactly one of `rectangle`, `outline` and `sides`"
            )
        if (self.sides is None) != (self.diagonals is None):
            raise PydanticCustomError("surface", "`sides` and `diagonals` go together")
        return self


class LayerBase(Asked):
    """What every layer has: an id (default: its kind) and the product it is made of."""

    id: Name | None = Field(None, description="Default: the kind.")
    product: Name = Field(description="Id of a product in `products`.")
