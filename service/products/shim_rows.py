"""Shims on the members: a table of the answer (`service.schemas.columns`)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from service.schemas.columns import Count, Length, Place, Text


@dataclass(frozen=True, slots=True, kw_only=True)
class ShimRow:
    """A shim, or a pair of them, that brings one place of a member into the plane of the others."""

    surface: Text
    member: Annotated[Count, "The member's number, as `members` has it."]
    along: Annotated[Length, "The mark along it, from its first end in `line` of `members`."]
    at: Annotated[Place, "The same place [x, y], in the plane of the `outline`."]
    strap: Annotated[Count | None, "The line of straps that it lies under; null without straps."]
    dip: Annotated[
        Length, "How far the member lies from the string there: read, or between readings."
    ]
    shim: Annotated[Length, "Its thickness: to the plane of the lowest reading."]
