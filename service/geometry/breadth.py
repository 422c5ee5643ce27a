"""How far a polygon reaches across, between any two of given stations along it. All ticks."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from service.geometry.rings import Point, Polygon
from service.geometry.strips import refined


@dataclass(frozen=True, slots=True)
class Breadth:
    """The least and greatest second coordinate between each two neighbouring `cuts`.

    `cuts` ascend along the first coordinate, from the low to the high end of the polygon.
    """

    cuts: tuple[int, ...]
    near: tuple[int, ...]
    far: tuple[int, ...]

    def between(self, low: int, high: int) -> tuple[int, int]:
        """From where to where the part between two stations reaches across.

        They are `cuts`, or lie where the breadth does not change.
        """
        first = bisect_right(self.cuts, low) - 1
        last = max(first + 1, bisect_left(self.cuts, high))
        return min(self.near[first:last]), max(self.far[first:last])

    @property
    def most(self) -> int:
        """The greatest breadth between any two cuts."""
        return max(far - near for near, far in zip(self.near, self.far, strict=True))

    def mirrored(self, sides: int) -> Breadth:
        """The same with every station taken off `sides`."""
        cuts = tuple(sides - at for at in reversed(self.cuts))
        return Breadth(cuts, self.near[::-1], self.far[::-1])


def breadth_of(polygon: Polygon, stations: Sequence[int]) -> Breadth:
    """The breadth of a polygon between `stations` (ascending), snapped as its cuts will be."""
    low, high, near, far = polygon.box
    if polygon.is_box:
        return Breadth((low, high), (near,), (far,))
    cuts = (low, *(at for at in stations if low < at < high), high)
    least, most = [far] * (len(cuts) - 1), [near] * (len(cuts) - 1)
    for part in refined((polygon,), cuts, axis=0):
        for a, b in zip(part.outer, part.outer[1:] + part.outer[:1], strict=True):
            for k in _crossed(cuts, a, b):
                least[k] = min(least[k], a[1], b[1])
                most[k] = max(most[k], a[1], b[1])
    return Breadth(cuts, tuple(least), tuple(most))


def _crossed(cuts: Sequence[int], a: Point, b: Point) -> range:
    """The numbers of the parts in which an edge lies; an upright one ends others, and adds none."""
    low, high = sorted((a[0], b[0]))
    return range(bisect_right(cuts, low) - 1, bisect_left(cuts, high) if low < high else 0)
