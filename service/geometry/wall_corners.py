"""Corners at which two walls meet, square or not: how far a layer reaches, and its bevels (3.16).

A layer's face ends where it meets that of the other wall. With `other` and `own` thickness, and d
degrees by which the wall turns, it does so other / sin d - own / tan d along the wall from the
corner: short of it inside, beyond it outside. Of a square corner that is the other thickness.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, degrees, radians, sin, tan

from service.geometry.edges import CORNERS, Edge
from service.units.ticks import whole

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
