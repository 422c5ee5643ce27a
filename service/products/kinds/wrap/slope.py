"""Which way a surface rises, as one sees it facing the finished side."""

from __future__ import annotations

from service.geometry.frame import Axis
from service.geometry.surface import Surface


def rise_of(surface: Surface) -> Axis | None:
    """The unit vector up a slope or wall; None where the surface lies flat."""
    if surface.slope is not None:
        return surface.slope.up
    return (0.0, 1.0) if surface.type == "wall" else None
