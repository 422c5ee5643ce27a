"""Where things lie: the surface in true size as seen facing its finished side, in stations.

Floats in ticks throughout; a station is good to a few ticks. Polygons are moved and combined by
shapely's own offset and overlay, never by clipping strip after strip.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.independent.measure import exact, ticks

Vector = tuple[float, float]
Matrix = tuple[Vector, Vector]

CORNERS = 128
SHARP = 1e6


def heading(degrees: Any) -> Vector:
    """The unit vector of an angle, exact at quarter turns."""
    turned = exact(degrees) % 360
    quarters = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}
    if turned in quarters:
        return quarters[int(turned)]
    return math.cos(math.radians(turned)), math.sin(math.radians(turned))


def normal_of(degrees: Any) -> Vector:
    """The unit normal of a direction whose angle lies in [0, 180)."""
    turned = exact(degrees) % 180
    return heading(turned + 90 if turned < 90 else turned - 90)


def dot(one: Vector, other: Vector) -> float:
    """The scalar product."""
    return one[0] * other[0] + one[1] * other[1]


@dataclass(frozen=True)
class Frame:
    """Stations of a surface for boards of one direction: u along, v across, both from zero."""

    along: Vector
    across: Vector
    low: Vector

    def station(self, point: Vector) -> Vector:
        """u and v of a point of the plane."""
        return dot(point, self.along) - self.low[0], dot(point, self.across) - self.low[1]

    def back(self, station: Vector) -> Vector:
        """The point of the plane at a station."""
        u, v = station[0] + self.low[0], station[1] + self.low[1]
        return (
            u * self.along[0] + v * self.across[0],
            u * self.along[1] + v * self.across[1],
        )

    def moved_all(self, shape: BaseGeometry) -> BaseGeometry:
        """A polygon or several, in stations."""
        return unary_union([self.moved(part) for part in getattr(shape, "geoms", [shape])])

    def moved(self, shape: Polygon) -> Polygon:
        """A polygon in stations."""
        rings = [list(shape.exterior.coords), *(list(hole.coords) for hole in shape.interiors)]
        outer, *holes = [[self.station(corner[:2]) for corner in ring] for ring in rings]
        return Polygon(outer, holes)


@dataclass(frozen=True)
class Seen:
    """A surface in true size, facing its finished side: outline, openings, and the way there."""

    outline: Polygon
    drawn: list[Polygon]
    cut: list[Polygon]
    matrix: Matrix

    @property
    def net(self) -> BaseGeometry:
        """The outline less its openings as drawn."""
        return self.outline.difference(unary_union(self.drawn))


def apply(matrix: Matrix, point: Vector) -> Vector:
    """The matrix times the point."""
    return dot(matrix[0], point), dot(matrix[1], point)


def plan_outline(surface: dict[str, Any], unit: str) -> list[Vector]:
    """The corners as sent, in ticks."""
    if "rectangle" in surface:
        length, width = (ticks(side, unit) for side in surface["rectangle"])
        return [(0, 0), (length, 0), (length, width), (0, width)]
    return [(ticks(x, unit), ticks(y, unit)) for x, y in surface["outline"]]


def matrix_of(surface: dict[str, Any]) -> Matrix:
    """Plan to true size: stretched along the slope, then mirrored for a view in plan."""
    stretch, (wx, wy) = 0.0, (1.0, 0.0)
    if "slope" in surface:
        slope = surface["slope"]
        stretch = math.hypot(1, exact(slope["rise"]) / exact(slope["run"])) - 1
        wx, wy = heading(slope["up"])
    side = -1 if surface.get("view") == "plan" else 1
    return (
        (side * (1 + stretch * wx * wx), side * stretch * wx * wy),
        (stretch * wx * wy, 1 + stretch * wy * wy),
    )


def seen(surface: dict[str, Any], unit: str) -> Seen:
    """The surface of a request in true size."""
    matrix = matrix_of(surface)
    outline = Polygon([apply(matrix, corner) for corner in plan_outline(surface, unit)])
    openings = surface.get("openings", [])
    return Seen(
        outline,
        [_opening(opening, unit, matrix, 0) for opening in openings],
        [_opening(opening, unit, matrix, growth(opening, unit)) for opening in openings],
        matrix,
    )


def growth(opening: dict[str, Any], unit: str) -> int:
    """How far the cut lies outside the opening as drawn: clearance and saw gap."""
    gap = opening.get("cut_gap", 0 if "flange" in opening else "1/8 in")
    return ticks(opening.get("clearance", 0), unit) + ticks(gap, unit)


def _opening(opening: dict[str, Any], unit: str, matrix: Matrix, grown: int) -> Polygon:
    if "circle" in opening:
        x, y, diameter = (ticks(value, unit) for value in opening["circle"])
        return _disc(apply(matrix, (x, y)), diameter / 2 + grown)
    if "rectangle" in opening:
        x, y, length, width = (ticks(value, unit) for value in opening["rectangle"])
        corners = list(box(x, y, x + length, y + width).exterior.coords)
    else:
        corners = [(ticks(x, unit), ticks(y, unit)) for x, y in opening["outline"]]
    shape = Polygon([apply(matrix, corner) for corner in corners])
    return shape.buffer(grown, join_style="mitre", mitre_limit=SHARP) if grown else shape


def _disc(centre: Vector, radius: float) -> Polygon:
    """A regular polygon of 128 corners whose area is the circle's."""
    turn = 2 * math.pi / CORNERS
    reach = radius * math.sqrt(2 * math.pi / CORNERS / math.sin(turn))
    return Polygon(
        [
            (centre[0] + reach * math.cos(k * turn), centre[1] + reach * math.sin(k * turn))
            for k in range(CORNERS)
        ]
    )


def facing_direction(surface: dict[str, Any], degrees: Any) -> float | Any:
    """A direction as seen facing the finished side; slopes turn only slanting directions."""
    if surface.get("view") == "plan":
        return 180 - exact(degrees)
    return exact(degrees)


def frame_of(outline: Polygon, degrees: Any, turn: float = 0) -> Frame:
    """Stations for boards of one direction, and a little turned, over an outline as seen."""
    along, across = heading(exact(degrees) % 180), normal_of(degrees)
    along, across = turned(along, turn), turned(across, turn)
    corners = [corner[:2] for corner in outline.exterior.coords]
    low = (
        min(dot(corner, along) for corner in corners),
        min(dot(corner, across) for corner in corners),
    )
    return Frame(along, across, low)


def turned(vector: Vector, degrees: float) -> Vector:
    """A vector turned; by nothing, it is the very same."""
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    x, y = vector
    return (x * cosine - y * sine, x * sine + y * cosine) if degrees else vector


def inside(shape: BaseGeometry, u: float, v: float) -> bool:
    """Whether a station lies in a shape."""
    return bool(shape.contains(Point(u, v)))
