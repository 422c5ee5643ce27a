"""Corners at which two walls meet, square or not: how far a layer reaches, and its bevels (3.16).

A layer's face ends where it meets that of the other wall. With `other` and `own` thickness, and d
degrees by which the wall turns, it does so other / sin d - own / tan d along the wall from the
corner: short of it inside, beyond it outside. Of a square corner that is the other thickness.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import atan2, degrees, radians, sin, tan

from service.geometry.edges import CORNERS, Edge, Side
from service.geometry.frame import Frame
from service.geometry.rings import Line
from service.units.ticks import SIXTY_FOURTH, whole

SQUARE = 90.0
"""Degrees by which walls turn unless another turn was sent."""


def reach_of(edge: Edge, own: int, other: int | None = None) -> int:
    """How far a layer whose face lies `own` off its wall keeps off a corner, ticks; under 0 beyond.

    The other wall is as thick, unless another thickness is known.
    """
    return whole(CORNERS[edge.what or ""] * _face(edge, own, own if other is None else other))


def _face(edge: Edge, own: int, other: int) -> float:
    """How far from the corner, along the wall, both faces meet."""
    if edge.turn is None or edge.turn == SQUARE:
        return other
    turn = radians(edge.turn)
    return other / sin(turn) - own / tan(turn)


def bevel_of(edge: Edge, own: int, other: int | None = None) -> float:
    """Degrees off square of what ends there along the corner, its long point at the face.

    A mitre parts the corner as thicknesses do; what ends at the face of the other wall lies on it.
    """
    if edge.what == "outside_mitred":
        return round(degrees(atan2(_face(edge, own, own if other is None else other), own)), 6)
    turn = SQUARE if edge.turn is None else edge.turn
    return SQUARE - turn if edge.what == "inside_second" else 0.0


def beside_corners(edges: Sequence[Edge], own: int) -> tuple[tuple[Edge, int], ...]:
    """The corners among edges, and how far what is hidden keeps off them: both walls are alike."""
    return tuple((edge, reach_of(edge, own)) for edge in edges if edge.what in CORNERS)


@dataclass(frozen=True, slots=True)
class BevelledCorner:
    """A corner along which what is laid is bevelled, in stations: how far off it that ends.

    `angle` is in degrees off square, long point at the face.
    """

    edge: Edge
    off: int
    angle: float

    def bounds(self, line: Line) -> bool:
        """Whether a line lies where the layer ends along the corner."""
        (ax, ay), (bx, by) = line
        away = Side(self.edge.start, self.edge.end).off(((ax + bx) // 2, (ay + by) // 2))
        return abs(away - abs(self.off)) <= SIXTY_FOURTH and self._runs_with(line)

    def _runs_with(self, line: Line) -> bool:
        side = Side(self.edge.start, self.edge.end)
        return abs(side.off(line[0]) - side.off(line[1])) <= SIXTY_FOURTH


def bevelled_corners(
    edges: Iterable[Edge], frame: Frame, own: int, *, alike: bool
) -> tuple[BevelledCorner, ...]:
    """The corners among edges along which a layer is bevelled whose face lies `own` off its wall.

    `alike`: the other wall is as thick, whatever was sent of it.
    """
    found = []
    for edge in edges:
        other = None if alike else edge.thickness
        angle = bevel_of(edge, own, other) if edge.what in CORNERS else 0.0
        if angle:
            found.append(BevelledCorner(edge.within(frame), reach_of(edge, own, other), angle))
    return tuple(found)


def bevel_at(line: Line, corners: Iterable[BevelledCorner]) -> float:
    """The bevel of what ends on a line, both in stations; 0 where it lies along no such corner."""
    return next((one.angle for one in corners if one.bounds(line)), 0.0)
