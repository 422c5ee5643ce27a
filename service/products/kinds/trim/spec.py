"""What a request says of a layer of trim, and the rules that can be set."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import ConfigDict, Field, JsonValue, model_validator
from pydantic_core import PydanticCustomError

from service.products.goods.board.spec import BoardRules
from service.products.goods.moulding.spec import MouldingRules
from service.schemas.base import Asked
from service.schemas.bounds import Bearing, Margin, Reach, Spacing
from service.schemas.finishing import FinishedLayer
from service.schemas.quantities import Count, Degrees, Lean, Length, LengthOrZero, Name
from service.schemas.rules import DrivingRules
from service.schemas.venting import VentArea
from service.schemas.ways import NONE, said_as, told

_SOME: Final[JsonValue] = {"not": NONE}
_FRAMES: Final[JsonValue] = {"const": "openings"}
_WALLS: Final[JsonValue] = {"not": _FRAMES}
_SET_IN: Final = ("from_edge", "across")


def _no(*names: str) -> dict[str, JsonValue]:
    return dict.fromkeys(names, NONE)


class TrimRules(MouldingRules, BoardRules, DrivingRules):
    """Trade rules that concern trim. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there. The number of each rule stands in the
    kind's table of defaults, and with each value used in the answer's `basis`.
    """

    overhang: Margin | None = Field(
        None, description="How far boards reach beyond an edge that `is` an overhang."
    )
    min_piece: Reach | None = Field(None, description="Shortest piece of a jointed run.")
    corner_over: Lean | None = Field(
        None, description="Degrees from which a turn of the outline is a corner; less is a bend."
    )
    reveal: Margin | None = Field(
        None, description="How far a frame stands back from the edge of its opening."
    )
    trim_spacing: Spacing | None = Field(None, description="Nails or pins along trim, apart.")
    trim_bite: Bearing | None = Field(
        None, description="What a nail of trim must hold behind it, in wood."
    )
    end_distance: Bearing | None = Field(None, description="Fastener from a piece's end.")


class TrimFastening(Asked):
    """How trim is fastened."""

    product: Name | None = Field(None, description="Id of a fastener in `products`.")
    rows: Annotated[Count, Field(ge=1, le=4)] | None = Field(
        None, description="Rows of nails along it. Default: 1; a wide crown or casing takes 2."
    )


class Across(Asked):
    """Straight lines right across a surface, as those of the breaker boards of a deck."""

    direction: Degrees = Field(description="Direction in which the strips run.")
    at: Annotated[list[Length], Field(min_length=1, max_length=24)] = Field(
        description="The centre line of each, across them from the outline's lowest point: along "
        "+x for direction 90, along +y for 0, else along `direction` + 90 or - 90 degrees, "
        "whichever lies from 0 up to 180."
    )


class TrimLayer(FinishedLayer):
    """Mouldings along walls, bays and corners, or frames round openings."""

    model_config = ConfigDict(
        json_schema_extra=said_as(
            told("around", around=_FRAMES, **_no("edges", "inside", "board", *_SET_IN)),
            told(around=_WALLS, **_no("openings", "frame", "gap", *_SET_IN)),
            told("board", around=_WALLS, board=_SOME, **_no("openings", "frame", *_SET_IN)),
            told(
                "edges",
                "from_edge",
                around=_WALLS,
                edges=_SOME,
                from_edge=_SOME,
                **_no("openings", "frame", "board", "across"),
            ),
            told(
                "across",
                around=_WALLS,
                across=_SOME,
                **_no("edges", "inside", "board", "from_edge", "openings", "frame"),
            ),
        )
    )

    kind: Literal["trim"]
    around: Literal["walls", "openings"] | None = Field(
        None,
        description="`walls`: along the edges of what is there to be laid on, of each bay where "
        "beams part it. `openings`: a frame round each of four sides, or of three where one "
        "reaches an edge, as a door does. Default: walls.",
    )
    edges: Annotated[list[Count], Field(min_length=1, max_length=2000)] | None = Field(
        None,
        description="Numbers of the edges of the outline along which it runs, as the surface "
        "counts them. Default: all but those that are bare, tight or a mitre, and all sides of "
        "bays and of notches.",
    )
    from_edge: LengthOrZero | None = Field(
        None,
        description="Set into the surface, its back edge this far from each of the `edges`, as the "
        "vent strip of a soffit, and as the border of a deck at 0: what is laid after it ends at "
        "both its sides. Default: it lies at the edge, on what is laid.",
    )
    across: Across | None = Field(
        None,
        description="Set in straight across the surface, as breaker boards of a deck: what is laid "
        "after them ends at both their sides. Default: none.",
    )
    gap: LengthOrZero | None = Field(
        None,
        description="Of a strip that is set in, a frame or a corner board: the open joint between "
        "it and what is laid after it, as between deck boards; a breaker keeps it at its ends too. "
        "Default: the gap that layer has at a bare edge, round a frame that of the cut-out.",
    )
    free_area: VentArea | None = Field(
        None,
        description="Net free vent area that is asked of the layer, to be compared with what it "
        "gives. Default: none is asked.",
    )
    openings: Annotated[list[Name], Field(min_length=1, max_length=200)] | None = Field(
        None, description="Ids of the openings that are framed. Default: all that can be."
    )
    inside: Literal["by_angle", "coped", "mitred", "butted"] | None = Field(
        None,
        description="How pieces meet in inside corners: `by_angle`, mitred where the angle "
        "of the walls is over 105 degrees, as in a bay, else coped; `coped` or `mitred`, all of "
        "them; `butted`, of a strip `from_edge`: the one that is laid first runs through. Default: "
        "by_angle; mitred of a strip that is set in.",
    )
    frame: Literal["mitred", "butted"] | None = Field(
        None,
        description="`butted`: the level pieces of a frame run over the ends of the upright ones. "
        "Default: mitred.",
    )
    board: Literal["lapping", "butting"] | None = Field(
        None,
        description="Of a corner board: the one that laps the end of the other keeps its width, "
        "the one that butts is ripped narrower by its thickness, so that both show alike.",
    )
    fastening: TrimFastening | None = None
    rules: TrimRules | None = None

    @model_validator(mode="after")
    def _says_where_once(self) -> TrimLayer:
        framed = self.around == "openings"
        strange = [
            name
            for name, sent in (
                ("edges", self.edges is not None and framed),
                ("inside", self.inside is not None and framed),
                ("board", self.board is not None and framed),
                ("from_edge", self.from_edge is not None and framed),
                ("openings", self.openings is not None and not framed),
                ("frame", self.frame is not None and not framed),
                ("across", self.across is not None and framed),
            )
            if sent
        ]
        if strange:
            where = "openings" if framed else "walls"
            raise PydanticCustomError(
                "trim", f"`{strange[0]}` says nothing of trim around {where}: leave it out"
            )
        self._says_set_in_once()
        if self.from_edge is not None and (self.edges is None or self.board is not None):
            raise PydanticCustomError(
                "trim", "`from_edge` goes with `edges`, those along which it is set in"
            )
        return self

    def _says_set_in_once(self) -> None:
        """Raise where what goes with a strip that is set in stands beside one that is not."""
        set_in = self.from_edge is not None or self.across is not None
        ends_there = set_in or self.around == "openings" or self.board is not None
        if self.gap is not None and not ends_there:
            raise PydanticCustomError(
                "trim", "`gap` is that of trim at which what is laid after ends: send `from_edge`, "
                "`across` or `board` with it, or `around` openings"
            )  # fmt: skip
        if self.inside == "butted" and self.from_edge is None:
            raise PydanticCustomError(
                "trim", "corners are `butted` of a strip that is set in: send `from_edge`, or mitre"
            )
        beside = (self.edges, self.inside, self.board, self.from_edge)
        if self.across is not None and any(one is not None for one in beside):
            raise PydanticCustomError(
                "trim", "`across` says where a strip lies: leave `edges` and all for edges out"
            )
