"""Plan to true size: what runs up a slope is longer than it is drawn, and seen from one side."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from service.geometry.rings import Point, Ring, clean
from service.units.ticks import whole


@dataclass(frozen=True, slots=True)
class Slope:
    """A pitch `ratio` (rise over run) towards the unit vector `up` in plan."""

    ratio: Fraction
    up: tuple[float, float]


def stretched(ring: Ring, slope: Slope | None) -> Ring:
    """A plan ring in true size: what runs up the slope grows by sqrt(1 + pitch squared)."""
    if slope is None:
        return ring
    return clean(stretch_point(point, slope) for point in ring)


def stretch_point(point: Point, slope: Slope) -> Point:
    """A plan point in true size."""
    extra = sqrt(1 + slope.ratio**2) - 1
    rise = point[0] * slope.up[0] + point[1] * slope.up[1]
    return (
        point[0] + whole(rise * extra * slope.up[0]),
        point[1] + whole(rise * extra * slope.up[1]),
    )


def mirrored(ring: Ring, width: int) -> Ring:
    """The ring seen from the other side: x becomes width - x."""
    return clean((width - x, y) for x, y in ring)
