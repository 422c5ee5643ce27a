"""Lines clipped to closed rings: hatching, so that no pattern is referred to, and members."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, sqrt

from service.report.drawing.ink import Spot, line

_HALF = sqrt(0.5)


def crossed(ring: list[Spot], apart: float, attributes: str) -> list[str]:
    """Lines at 45 degrees both ways inside `ring` (mm), `apart` mm from one to the next."""
    return [*slanted(ring, apart, 1.0, attributes), *slanted(ring, apart, -1.0, attributes)]


def within(rings: Sequence[Sequence[Spot]], start: Spot, end: Spot) -> list[tuple[Spot, Spot]]:
    """The parts of the line from `start` to `end` inside the rings; a ring in a ring is a hole."""
    shares = sorted(share for ring in rings for share in _shares(ring, start, end))
    parts = []
    for enter, leave in zip(shares[::2], shares[1::2], strict=False):
        low, high = max(enter, 0.0), min(leave, 1.0)
        if low < high:
            parts.append((_at(start, end, low), _at(start, end, high)))
    return parts


def _shares(ring: Sequence[Spot], start: Spot, end: Spot) -> list[float]:
    """Where the endless line through `start` (0) and `end` (1) crosses the ring's edges."""
    way = end[0] - start[0], end[1] - start[1]
    found = []
    offsets = [(x - start[0]) * way[1] - (y - start[1]) * way[0] for x, y in ring]
    along = [(x - start[0]) * way[0] + (y - start[1]) * way[1] for x, y in ring]
    square = way[0] ** 2 + way[1] ** 2
    for k in range(len(ring)):
        one, two = offsets[k - 1], offsets[k]
        if (one > 0) != (two > 0):
            found.append((along[k - 1] + (along[k] - along[k - 1]) * one / (one - two)) / square)
    return found


def _at(start: Spot, end: Spot, share: float) -> Spot:
    return (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)


def slanted(ring: list[Spot], apart: float, slope: float, attributes: str) -> list[str]:
    """Lines of one `slope`, 1 or -1, inside `ring` (mm), `apart` mm from one to the next."""
    # Turned so that the lines lie level, cut where they meet the ring, and turned back.
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
