"""Hatching: parallel lines clipped to closed rings, so that no pattern needs to be referred to."""

from __future__ import annotations

from math import ceil, sqrt

from service.report.ink import Spot, line

_HALF = sqrt(0.5)


def crossed(ring: list[Spot], apart: float, attributes: str) -> list[str]:
    """Lines at 45 degrees both ways inside `ring` (mm), `apart` mm from one to the next."""
    return [*_one_way(ring, apart, 1.0, attributes), *_one_way(ring, apart, -1.0, attributes)]


def _one_way(ring: list[Spot], apart: float, slope: float, attributes: str) -> list[str]:
    """Lines y = slope x + c: turned so that they lie level, cut where they meet the ring."""
    turned = [((x + slope * y) * _HALF, (y - slope * x) * _HALF) for x, y in ring]
    low, high = min(y for _, y in turned), max(y for _, y in turned)
    lines = []
    for k in range(ceil(low / apart), ceil(high / apart)):
        cuts = _cuts(turned, k * apart)
        for start, end in zip(cuts[::2], cuts[1::2], strict=False):
            lines.append(line(_back(start, k * apart, slope), _back(end, k * apart, slope),
                              attributes))  # fmt: skip
    return lines


def _cuts(ring: list[Spot], level: float) -> list[float]:
    """Where the ring's edges cross a level line, ascending."""
    found = []
    for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True):
        if (y0 > level) != (y1 > level):
            found.append(x0 + (level - y0) * (x1 - x0) / (y1 - y0))
    return sorted(found)


def _back(along: float, level: float, slope: float) -> Spot:
    return ((along - slope * level) * _HALF, (level + slope * along) * _HALF)
