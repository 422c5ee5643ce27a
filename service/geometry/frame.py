"""The frame of a layer: stations along its direction (u) and across it (v)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import cos, radians, sin

from service.geometry.plane import sound
from service.geometry.rings import Box, Point, Polygon, Region, Ring, bounds, clean
from service.units.ticks import whole

Axis = tuple[float, float]


def axis_along(degrees: Fraction) -> Axis:
    """The unit vector of a direction; exact for multiples of 90 degrees."""
    quarter, rest = divmod(degrees, 90)
    if rest == 0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarter) % 4]
    return cos(radians(float(degrees))), sin(radians(float(degrees)))


def axis_across(degrees: Fraction) -> Axis:
    """The normal of a direction whose own angle lies from 0 up to 180 degrees."""
    return axis_along((degrees + 90) % 180)


@dataclass(frozen=True, slots=True)
class Frame:
    """u along, v across, both measured from the outline's lowest projections (ticks).

    Projections are taken from `base`, a corner of the outline, so that where the surface lies in
    its plane changes nothing, not even by rounding.
    """

    along: Axis
    across: Axis
    base: Point
    origin: tuple[int, int]

    @property
    def left_handed(self) -> bool:
        """Whether stations across rise to the right of those along, as of what runs upward.

        A board that lies face up with its far edge away has its low end at the right then.
        """
        (ax, ay), (cx, cy) = self.along, self.across
        return ax * cy - ay * cx < 0

    def to(self, point: Point) -> Point:
        """Stations (u, v) of a point (x, y), to the nearest tick."""
        x, y = point[0] - self.base[0], point[1] - self.base[1]
        return (
            _project(self.along, x, y) - self.origin[0],
            _project(self.across, x, y) - self.origin[1],
        )

    def back(self, point: Point) -> Point:
        """The point (x, y) at stations (u, v), to the nearest tick."""
        u, v = point[0] + self.origin[0], point[1] + self.origin[1]
        (ax, ay), (bx, by) = self.along, self.across
        return (
            self.base[0] + _project((ax, bx), u, v),
            self.base[1] + _project((ay, by), u, v),
        )

    def region(self, region: Region) -> Region:
        """A region of (x, y) in stations; rings keep their turning sense."""
        if self._is_as_sent:
            return sound(tuple(polygon.cleaned for polygon in region))
        return sound(
            tuple(
                Polygon(self._ring(polygon.outer), tuple(self._hole(h) for h in polygon.holes))
                for polygon in region
            )
        )

    @property
    def _is_as_sent(self) -> bool:
        """Whether stations are the coordinates that were sent."""
        from_sent = (self.base[0] + self.origin[0], self.base[1] + self.origin[1])
        return self.along == (1.0, 0.0) and self.across == (0.0, 1.0) and from_sent == (0, 0)

    def bounds(self, region: Region) -> Box:
        """Bounds of a region of (x, y) in stations: least and greatest u, least and greatest v."""
        if not (all(self.along) or all(self.across)):
            points = [self.to(at) for one in region for at in one.outer]
            us, vs = zip(*points, strict=True)
            return min(us), max(us), min(vs), max(vs)
        return bounds(self.region(region))

    def ring_back(self, ring: Ring) -> Ring:
        """A ring of stations in (x, y)."""
        return ring if self._is_as_sent else tuple(self.back(point) for point in ring)

    def region_back(self, region: Region) -> Region:
        """A region of stations in (x, y)."""
        back = self.ring_back
        return tuple(Polygon(back(one.outer), tuple(map(back, one.holes))) for one in region)

    def _ring(self, ring: Ring) -> Ring:
        along = _projected(self.along, ring, self.base)
        across = _projected(self.across, ring, self.base)
        u, v = self.origin
        return clean([(a - u, b - v) for a, b in zip(along, across, strict=True)])

    def _hole(self, ring: Ring) -> Ring:
        return self._ring(ring)[::-1]


def _project(axis: Axis, x: int, y: int) -> int:
    if axis[0] == 0:
        return y if axis[1] > 0 else -y
    if axis[1] == 0:
        return x if axis[0] > 0 else -x
    return whole(axis[0] * x + axis[1] * y)


def _projected(axis: Axis, ring: Ring, base: Point) -> list[int]:
    """The corners of a ring, from `base`, along an axis; all at once, which is quicker."""
    if axis[0] == 0 or axis[1] == 0:
        k = int(axis[0] == 0)
        return [at[k] - base[k] for at in ring] if axis[k] > 0 else [base[k] - at[k] for at in ring]
    return [_project(axis, x - base[0], y - base[1]) for x, y in ring]


@lru_cache(maxsize=256)
def _axes(degrees: Fraction, turn: Fraction) -> tuple[Axis, Axis]:
    """Along a direction and across it, both turned by some degrees."""
    asked = degrees % 180
    return axis_along(asked + turn), axis_along((asked + 90) % 180 + turn)


def frame_of(outline: Ring, degrees: Fraction, turn: Fraction = Fraction(0)) -> Frame:
    """The frame of a layer that runs in `degrees` (taken modulo 180) over `outline`.

    `turn` turns both axes together by some degrees, as a taper asks for; they keep their sides.
    """
    along, across = _axes(degrees, turn)
    base = outline[0]
    apart = [(x - base[0], y - base[1]) for x, y in outline]
    return Frame(
        along,
        across,
        base,
        (
            min(_project(along, x, y) for x, y in apart),
            min(_project(across, x, y) for x, y in apart),
        ),
    )
