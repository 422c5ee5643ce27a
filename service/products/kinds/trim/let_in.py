"""Casings and corner boards: what is laid after them ends at them, with an open joint (3.16, 17.3).

They lie flat on what is behind, so that siding or boards that come later meet their outer edges.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.geometry.edges import Edge, sides_of
from service.geometry.plane import intersection, union, without_needles
from service.geometry.rings import Polygon, Region
from service.products.ground import Offered
from service.products.kinds.trim.frames import cased
from service.products.kinds.trim.records import TrimLength
from service.products.kinds.trim.rulings import Task
from service.products.kinds.trim.set_in import FIRST_EDGE


def offered_let_in(task: Task, lengths: Sequence[TrimLength], wide: int) -> Offered:
    """What frames and corner boards take away for what is laid after; other trim takes nothing."""
    if task.layer.around == "openings":
        names = {one.opening for one in lengths if one.opening is not None}
        return Offered(cased=tuple(cased(task, names)))
    if task.layer.board is None:
        return Offered()
    strips = union((Polygon(strip.ring),) for one in lengths for strip in one.strips(wide))
    cuts = without_needles(intersection(strips, (Polygon(task.surface.outline),)))
    return Offered(cuts=cuts, edges=tuple(_edges(task, cuts)))


def _edges(task: Task, cuts: Region) -> Iterator[Edge]:
    """The sides of what is taken away that lie within the outline, what is left at their left."""
    free = FIRST_EDGE + len(task.surface.edges)
    rings = [ring for part in cuts for ring in part.rings]
    sides = [side for ring in rings for side in sides_of(ring, task.surface.sides)]
    inner = [side for side in sides if side.edge is None]
    for number, side in enumerate(inner, start=free):
        yield Edge(number, side.end, side.start, "bare", task.layer.gap, task.pointer)
