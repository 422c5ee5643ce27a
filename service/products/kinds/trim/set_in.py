"""Strips set into a surface, as the vent strip of a soffit: where they lie, what is left (3.18).

Such a strip lies at a distance from edges of the outline. What is laid after it ends at both its
sides, or under its flange.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import hypot

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.edges import Edge, Margins
from service.geometry.plane import difference, intersection, without_needles
from service.geometry.rings import Point, Polygon, Region
from service.geometry.walls import Strip
from service.products.ground import Offered
from service.products.kinds.trim.rulings import Task
from service.units.ticks import SIXTY_FOURTH, whole
from service.units.writing import both

FIRST_EDGE = 4000
"""Edges of a request, and those of beams, have lesser numbers."""


def is_set_in(task: Task) -> bool:
    """Whether the layer's trim is set into the surface, along edges or across it."""
    return task.layer.from_edge is not None or task.layer.across is not None


def room(task: Task, numbers: frozenset[int]) -> tuple[Region, tuple[Edge, ...]]:
    """What lies on the far side of the back edge of a strip, and the edges of that.

    Those along which it runs are moved in to its back edge. Raises TradeRefused where a strip has
    nothing to lie on.
    """
    by = task.layer.from_edge or 0
    return _inset(task, numbers, by), tuple(_moved(task, numbers, by))


def _inset(task: Task, numbers: frozenset[int], by: int) -> Region:
    surface = task.surface
    told = tuple((edge, by) for edge in surface.sides if edge.number in numbers)
    return Margins(0, told).inset(surface.parts)


def _moved(task: Task, numbers: frozenset[int], by: int) -> Iterator[Edge]:
    for edge in task.surface.sides:
        yield _inside(edge, by) if edge.number in numbers else edge


def _inside(edge: Edge, by: int) -> Edge:
    """An edge moved square to itself into the surface, which lies at its left."""
    (ax, ay), (bx, by_end) = edge.start, edge.end
    size = hypot(bx - ax, by_end - ay)
    x, y = -(by_end - ay) * by / size, (bx - ax) * by / size

    def moved(point: Point) -> Point:
        return whole(point[0] + x), whole(point[1] + y)

    return replace(edge, start=moved(edge.start), end=moved(edge.end))


def check_room(task: Task, strips: Sequence[Strip]) -> None:
    """Refuse a strip that does not lie within the surface, or in which an opening lies."""
    at = f"{task.pointer}/from_edge"
    shapes = tuple(Polygon(one.ring) for one in strips)
    beyond = without_needles(difference(shapes, task.surface.parts)) if shapes else ()
    if not shapes or any(_is_seen(one) for one in beyond):
        text = (
            f"a strip {both(task.product.width)} wide, {both(task.layer.from_edge or 0)} from the "
            "edge, does not lie within the surface: set it nearer to the edge, or the other way "
            "round, along another edge"
        )
        cure = Cure(at, Ticks(0)) if task.layer.from_edge else None
        raise TradeRefused(Fault("strip-beyond-surface", text, at, cure=cure, rule="3.18"))
    for opening in task.surface.openings:
        if any(map(_is_seen, without_needles(intersection(shapes, opening.cut)))):
            text = (
                f"the strip runs through the opening {opening.id}: move one of them, or lay the "
                "strip in parts along edges of its own on either side"
            )
            raise TradeRefused(Fault("strip-meets-opening", text, opening.pointer, rule="3.18"))


def _is_seen(shape: Polygon) -> bool:
    """Whether a part is more than what snapping moves."""
    low, high, near, far = shape.box
    return min(high - low, far - near) > SIXTY_FOURTH


def offered(task: Task, numbers: frozenset[int]) -> Offered:
    """What a strip takes away of the surface, and the edges of that (3.18).

    Under a flange boards need no gap; beside a strip without one their ends and edges are in view.
    """
    product = task.product
    back = (task.layer.from_edge or 0) + (product.flange or 0)
    front = back + product.slot
    cut = difference(_inset(task, numbers, back), _inset(task, numbers, front))
    free = FIRST_EDGE + len(task.surface.edges)
    lines = [
        _inside(edge, by)
        for edge in task.surface.sides
        if edge.number in numbers
        for by in (back, front)
    ]
    edges = (
        replace(
            line,
            number=free + k,
            what="beam" if product.flange else "bare",
            gap=0 if product.flange else task.layer.gap,
            pointer=task.pointer,
            beside=None,
        )
        for k, line in enumerate(lines)
    )
    return Offered(cuts=cut, edges=tuple(edges), splits=True)


def check_slot(task: Task) -> None:
    """Refuse a strip that is all flange."""
    product = task.product
    if product.slot > 0:
        return
    at = f"{task.product_pointer}/flange"
    text = (
        f"two flanges of {both(product.flange or 0)} leave nothing of a strip "
        f"{both(product.width)} wide"
    )
    raise TradeRefused(Fault("flange-wide", text, at, cure=Cure(at, Ticks(0)), rule="3.18"))
