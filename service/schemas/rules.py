"""Rules that several kinds share: the same key means the same in each."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.bounds import Bearing, Margin, Reach, Spacing, Within
from service.schemas.quantities import Count, Percent


class StockRules(Asked):
    """What is bought beyond the cut plan, and what it is compared with."""

    cull: Percent | None = Field(None, description="Share of the stock culled.")
    spare: Annotated[Count, Field(le=10_000)] | None = Field(
        None, description="Spares of each length that is bought."
    )
    flat_pct: Percent | None = Field(None, description="Flat allowance to compare with.")


class BladeRules(Asked):
    """What a saw takes, and which rests are kept."""

    kerf: Annotated[int, Within("0 in", "1 in")] | None = Field(
        None, description="Width of a saw cut."
    )
    keep_offcut: Reach | None = Field(
        None,
        description="A rest this long is kept; of a sheet, one that is as wide as `min_strip` too.",
    )


class SawingRules(BladeRules):
    """How stock is sawn, and which rests are kept."""

    cut_to: Annotated[int, Within("0.0001 in", "1 in")] | None = Field(
        None, description="Cut sizes are multiples of this."
    )


class StickRules(SawingRules, StockRules):
    """Rules of stock that is bought and sawn in sticks."""

    end_trim: Reach | None = Field(
        None, description="Trimmed off each raw end of a stick, whatever becomes of it."
    )


class BlockRules(Asked):
    """What is counted of blocks behind a layer, where the framing has nothing."""

    backing: Literal["count", "none"] | None = Field(
        None,
        description="Whether nailers, headers and blocks that must stand behind are counted: what "
        "they carry hangs no more. They are never computed. `none`: the framer has them already. "
        "Default: count.",
    )
    merge_blocks: Reach | None = Field(
        None, description="Two blocks in one bay this near to each other are one."
    )
    end_nails: Annotated[Count, Field(ge=1, le=20)] | None = Field(
        None, description="Fasteners at each end of a block, a header, a trimmer or a cleat."
    )
    nailer_spacing: Spacing | None = Field(
        None, description="Fasteners along a nailer are no farther apart than this."
    )


class BlockRowRules(Asked):
    """Where blocks stand that are set in rows."""

    block_marks: Margin | None = Field(
        None,
        description="Blocks in rows stand equal whole marks of the tape of this size apart where "
        "their spacing lets them, else halves or quarters of it; 0 spreads them evenly.",
    )


class BackingRules(BlockRules):
    """What must stand behind a layer that ends at walls and at openings."""

    edge_nailer: Reach | None = Field(
        None,
        description="A wall that runs with the members has a nailer if none is this near to the "
        "layer's edge there.",
    )
    opening_nailer: Reach | None = Field(
        None,
        description="A side of an opening has a nailer if no member is this near to it.",
    )


class DrivingRules(Asked):
    """What is lost of fasteners as they are driven."""

    loss_hand: Percent | None = Field(None, description="Fasteners lost, driven by hand.")
    loss_collated: Percent | None = Field(None, description="Fasteners lost, collated.")


class HoldRules(Asked):
    """Hold of fasteners in what carries them, and the least bearing that counts."""

    bite_ring: Bearing | None = Field(None, description="Hold needed: ring shank or screw.")
    bite_smooth: Bearing | None = Field(None, description="Hold needed: smooth shank.")
    bite_in: Literal["wood", "framing", "panel"] | None = Field(
        None,
        description="What must give the hold: framing and wood panels together (`wood`), framing "
        "alone, or the panel alone. Default: wood; the panel where no member is crossed.",
    )
    bite_framing: Bearing | None = Field(
        None, description="Least of the hold that lies in framing, on ceilings and soffits."
    )
    min_touch: Bearing | None = Field(None, description="Least touch that counts.")
