"""The ways of laying the courses of a layer, and which of them is wished for (3.9)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from service.geometry.rings import Region, bounds
from service.layout.courses import (
    Feature,
    Scheme,
    Widths,
    aimed,
    equal,
    from_line,
    full_first,
    schemes,
)
from service.layout.exposures import Zone, in_zones
from service.layout.ranking import Edges, Limits, Ranked, ranked
from service.layout.start_lines import best_line, smallest_rip
from service.products.kinds.boarding.spec import Aim
from service.units.ticks import SIXTY_FOURTH

WholeAt: TypeAlias = Literal["outer edge", "outside corner", "rim", "bottom"]
"""Where the first course lies whole by custom."""


@dataclass(frozen=True, slots=True)
class Ways:
    """What the ways of laying a layer's courses are made of and judged by.

    `inset` is the region in stations that the courses share, from its low or its high edge;
    `middle` the station in the middle of the outline across. `sent` is the start asked for.
    `whole_at` is where the first course lies whole unless the caller or a rip says otherwise: at
    the edge of a soffit that is seen, where it is boarded along its length (3.18), at the one
    outside corner of a wall boarded upright (3.16), at the one rim that boards overhang (3.17), and
    at the bottom of a wall boarded level (3.9).
    `aims` are those that these courses can meet, `rest` what is left of the last board round the
    corner, from which they go on, `zones` those of lapped boards whose courses begin at lines.
    """

    inset: Region
    starts_low: bool
    widths: Widths
    edges: Edges
    limits: Limits
    spacer_max: int
    sent: str | None
    lapped: bool
    middle: int
    whole_at: WholeAt | None
    aims: tuple[Aim, ...] = ()
    rest: int | None = None
    zones: tuple[Zone, ...] = ()

    def feature(self, aim: int, on: Literal["joint", "centre"]) -> Feature:
        """A feature at station `aim` across the boards."""
        _, _, low, high = bounds(self.inset)
        return Feature(aim - low if self.starts_low else high - aim, on)

    def best(self, features: Sequence[Feature]) -> tuple[Ranked | None, list[Ranked]]:
        """The way that is wished for, None if there is none such; and all that were compared."""
        wished = self.wished(features)
        found = self._found(features, wished)
        chosen, judged = self._judged(found, features, wished)
        if self._usual(wished) and chosen is not None and chosen.fails:
            chosen, judged, wished = *self._judged(found, features, None), None
        if wished or features or chosen is None or self._is_wide(chosen):
            return chosen, judged
        slid = best_line(self.widths, self.edges)
        least = (chosen.smallest_rip or 0) + SIXTY_FOURTH
        if slid is None or smallest_rip(slid, self.edges) <= least:
            return chosen, judged
        return self._judged([slid, *found], features, None)

    def _found(self, features: Sequence[Feature], wished: str | None) -> list[Scheme]:
        """The ways worth comparing, with the one that is wished for if there is such a one."""
        found = schemes(self.widths, features, self.spacer_max)
        if wished == "equal":
            found.append(in_zones(self.zones) if self.zones else equal(self.widths))
        elif wished == "wrapped":
            on = from_line(self.widths, self.rest, "wrapped") if self.rest else None
            found.insert(0, on or replace(full_first(self.widths), start="wrapped"))
        elif wished == "middle":
            centred = aimed(self.widths, self.feature(self.middle, "joint"))
            found.insert(0, replace(centred, start="middle"))
        return found

    def _judged(
        self, found: list[Scheme], features: Sequence[Feature], wished: str | None
    ) -> tuple[Ranked | None, list[Ranked]]:
        judged = ranked(found, features, self.edges, self.limits)
        return _wished(judged, found, wished), judged

    def _is_wide(self, way: Ranked) -> bool:
        """Whether every rip has the width that rips should have."""
        return way.smallest_rip is None or way.smallest_rip >= self.limits.preferred

    def _usual(self, wished: str | None) -> bool:
        """Whether a wish is only what is usual, and yields where it leaves too small a rip."""
        return self.sent is None and wished in ("full_first", "middle", "wrapped")

    def is_whole(self, chosen: Ranked) -> bool:
        """Whether a way has the whole first course that is usual at its first edge."""
        return self.whole_at is not None and chosen.scheme.start == "full_first"

    @property
    def whole_by_default(self) -> bool:
        """Whether the first course is to lie whole though the caller did not ask for it."""
        return self.whole_at is not None and self.sent is None and not self.lapped

    def wished(self, features: Sequence[Feature]) -> str | None:
        """The start asked for, or usual for these boards; None where the best is taken."""
        if self.sent is not None or self.lapped:
            return self.sent or "equal"
        if features:
            return None
        if self.rest is not None:
            return "wrapped"
        if self.edges.none:
            return "middle"
        return "full_first" if self.whole_at else None


def _wished(judged: list[Ranked], found: list[Scheme], wished: str | None) -> Ranked | None:
    """The best scheme that was asked for, None if there is none such; without a wish the best.

    Two narrow courses are only laid where they are asked for (3.4).
    """
    if wished is None:
        return next(one for one in judged if one.scheme.start != "balanced_narrow")
    asked = {scheme.strips for scheme in found if scheme.start == wished}
    return next((one for one in judged if one.scheme.strips in asked), None)
