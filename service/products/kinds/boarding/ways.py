"""The ways of laying the courses of a layer, and which of them is wished for (3.9)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from service.geometry.rings import Region, bounds
from service.layout.courses import (
    Edges,
    Feature,
    Limits,
    Ranked,
    Scheme,
    Widths,
    equal,
    ranked,
    schemes,
)


@dataclass(frozen=True, slots=True)
class Ways:
    """What the ways of laying a layer's courses are made of and judged by.

    `inset` is the region in stations that the courses share, from its low or its high edge.
    `sent` is the start asked for. `outer_edge`: a soffit boarded along its length, on which the
    first course lies whole at the edge that is seen (3.18).
    """

    inset: Region
    starts_low: bool
    widths: Widths
    edges: Edges
    limits: Limits
    spacer_max: int
    sent: str | None
    lapped: bool
    outer_edge: bool

    def feature(self, aim: int, on: Literal["joint", "centre"]) -> Feature:
        """A feature at station `aim` across the boards."""
        _, _, low, high = bounds(self.inset)
        return Feature(aim - low if self.starts_low else high - aim, on)

    def best(self, features: Sequence[Feature]) -> tuple[Ranked | None, list[Ranked]]:
        """The way that is wished for, None if there is none such; and all that were compared."""
        found = schemes(self.widths, features, self.spacer_max)
        if self.wished(features) == "equal":
            found.append(equal(self.widths))
        judged = ranked(found, features, self.edges, self.limits)
        chosen = _wished(judged, found, self.wished(features))
        if self.whole_by_default and chosen is not None and chosen.fails:
            chosen = _wished(judged, found, None)
        return chosen, judged

    @property
    def whole_by_default(self) -> bool:
        """Whether the first course is to lie whole though the caller did not ask for it."""
        return self.outer_edge and self.sent is None and not self.lapped

    def whole_at_outer_edge(self, chosen: Ranked) -> bool:
        """Whether a way has the whole first course that a soffit's outer edge should have."""
        return self.outer_edge and chosen.scheme.start == "full_first"

    def wished(self, features: Sequence[Feature]) -> str | None:
        """The start asked for, or usual for these boards; None where the best is taken."""
        if self.sent is not None or self.lapped:
            return self.sent or "equal"
        return "full_first" if self.whole_by_default and not features else None


def _wished(judged: list[Ranked], found: list[Scheme], wished: str | None) -> Ranked | None:
    """The scheme asked for, None if there is none such; without a wish the best but the narrow."""
    if wished is None:
        return next(one for one in judged if one.scheme.start != "balanced_narrow")
    asked = next((scheme for scheme in found if scheme.start == wished), None)
    if asked is None:
        return None
    return next(one for one in judged if one.scheme.strips == asked.strips)
