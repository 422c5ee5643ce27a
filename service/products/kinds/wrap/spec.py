"""What a request says of a layer of house wrap, and the rules that can be set."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.products.goods.roll.spec import RollRules
from service.products.goods.tape.spec import TapeRules
from service.schemas.base import Asked
from service.schemas.bounds import Bearing, Margin, Spacing
from service.schemas.quantities import (
    Degrees,
    Name,
    Positive,
)
from service.schemas.rules import DrivingRules
from service.schemas.surface import LOW_SIDE, LayerBase


class WrapRules(RollRules, TapeRules, DrivingRules):
    """Trade rules that concern wrap. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there. The number of each rule stands in the
    kind's table of defaults, and with each value used in the answer's `basis`.
    """

    wrap_lap: Margin | None = Field(None, description="Lap of neighbouring widths.")
    turn_down: Margin | None = Field(
        None, description="Turned down at each edge. Default: 2 in, 6 in where it joins a wall's."
    )
    deduct_over: Positive | None = Field(
        None, description="Square feet above which an opening is left out of the wrap."
    )
    cap_spacing: Spacing | None = Field(None, description="Caps apart along members.")
    cap_seam: Spacing | None = Field(None, description="Caps apart along laps and openings.")
    cap_edge: Spacing | None = Field(None, description="Caps apart along edges, if asked for.")
    cap_rows: Spacing | None = Field(None, description="Rows of caps apart where no member is.")
    cap_bite: Bearing | None = Field(None, description="Hold of a cap's shank needed.")
    end_distance: Bearing | None = Field(None, description="Fastener from a piece's end.")


class CapFastening(Asked):
    """How the wrap is fastened."""

    product: Name | None = Field(None, description="Id of a fastener in `products`.")


class WrapLayer(LayerBase):
    """A layer of house wrap."""

    kind: Literal["wrap"]
    direction: Degrees | None = Field(
        None,
        description="Direction in which the roll runs; on a slope measured on the surface. "
        "Default: on a slope or wall level, "
        "otherwise along or across the members or the longest side, whichever takes least.",
    )
    start_side: Literal["low", "high"] | None = Field(
        None,
        description="The side on which width 1 lies. "
        f"{LOW_SIDE} Default: low; "
        "the lower side of a slope or wall.",
    )
    at_walls: Literal["turned", "joined"] | None = Field(
        None, description="Turned down at the edges, or joined to the wall's wrap. Default: turned."
    )
    tape: Name | None = Field(None, description="Id of a tape in `products`.")
    tape_edges: bool | None = Field(None, description="Whether the edges are taped. Default: no.")
    cap_edges: bool | None = Field(
        None, description="Whether caps go along the edges too, as windy places ask. Default: no."
    )
    fastening: CapFastening | None = None
    rules: WrapRules | None = None
