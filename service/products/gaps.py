"""Gaps at walls that something must cover, and what runs along walls and covers them (3.10, 24)."""

from __future__ import annotations

from dataclasses import dataclass

from service.geometry.rings import Line


@dataclass(frozen=True, slots=True)
class OpenGap:
    """A gap along a `line` of the outline that a moulding must hide, so `wide` from the wall.

    With the groove of a whole first course beside it. `assumed`: nobody said that it is covered.
    """

    line: Line
    wide: int
    assumed: bool


@dataclass(frozen=True, slots=True)
class Cover:
    """What runs along a line and reaches so far from it over the surface (ticks)."""

    line: Line
    reach: int
