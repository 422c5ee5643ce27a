"""Rules that several kinds share: the same key means the same in each."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.quantities import Count, Length, LengthOrZero, Percent


class StockRules(Asked):
    """What is bought beyond the cut plan, and what it is compared with."""

    cull: Percent | None = Field(None, description="Share of the stock culled.")
    spare: Count | None = Field(None, description="Spares of each length that is bought.")
    flat_pct: Percent | None = Field(None, description="Flat allowance to compare with.")


class SawingRules(Asked):
    """How stock is sawn, and which rests are kept."""

    kerf: LengthOrZero | None = Field(None, description="Width of a saw cut.")
    cut_to: Length | None = Field(None, description="Cut sizes are multiples of this.")
    keep_offcut: LengthOrZero | None = Field(
        None,
        description="A rest this long is kept; of a sheet, one that is as wide as `min_strip` too.",
    )


class DrivingRules(Asked):
    """What is lost of fasteners as they are driven."""

    loss_hand: Percent | None = Field(None, description="Fasteners lost, driven by hand.")
    loss_collated: Percent | None = Field(None, description="Fasteners lost, collated.")


class HoldRules(Asked):
    """Hold of fasteners in what carries them, and the least bearing that counts."""

    hold_ring: LengthOrZero | None = Field(None, description="Hold needed: ring shank or screw.")
    hold_smooth: LengthOrZero | None = Field(None, description="Hold needed: smooth shank.")
    hold_in: Literal["wood", "framing", "panel"] | None = Field(
        None,
        description="What must give the hold: framing and wood panels together (`wood`), framing "
        "alone, or the panel alone. Default: wood; the panel where no member is crossed.",
    )
    hold_framing: LengthOrZero | None = Field(
        None, description="Least of the hold that lies in framing, on ceilings and soffits."
    )
    min_touch: LengthOrZero | None = Field(None, description="Least touch that counts.")
