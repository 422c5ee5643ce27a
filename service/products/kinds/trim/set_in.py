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
from service.products.kinds.trim.section import section_of
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
    return inset(task, numbers, by), tuple(moved_edges(task, numbers, by))


def inset(task: Task, numbers: frozenset[int], by: int) -> Region:
    """What of the surface, with all overhangs, lies further in than `by` from those edges."""
    return Margins(0, tuple(_moves(task, numbers, by))).inset(task.surface.parts)


def _moves(task: Task, numbers: frozenset[int], by: int) -> Iterator[tuple[Edge, int]]:
    """Each edge of the surface with how far it is moved in: those of the `numbers` by so much.

    What overhangs an edge begins beyond it, whichever way it runs (3.17).
    """
    for edge in task.surface.sides:
        yield edge, (by if edge.number in numbers else 0) - beyond(task, edge)


def beyond(task: Task, edge: Edge) -> int:
    """How far what is laid reaches beyond an edge: 0 but for an overhang (3.17)."""
    if edge.what != "overhang":
        return 0
    return task.rules.overhang if edge.over is None else edge.over


def moved_edges(task: Task, numbers: frozenset[int], by: int) -> Iterator[Edge]:
    """The edges of the surface moved so; beside what overhangs each reaches as far beyond."""
    furthest = max((beyond(task, edge) for edge in task.surface.sides), default=0)
    for edge, own in _moves(task, numbers, by):
        yield _inside(edge, own, furthest)


def _inside(edge: Edge, by: int, longer: int) -> Edge:
    """An edge moved square to itself into the surface, at its left, and longer at both its ends."""
    if not by and not longer:
        return edge
    (ax, ay), (bx, by_end) = edge.start, edge.end
    size = hypot(bx - ax, by_end - ay)
    along = (bx - ax) / size, (by_end - ay) / size

    def moved(point: Point, out: int) -> Point:
        x, y = along[0] * out - along[1] * by, along[1] * out + along[0] * by
        return whole(point[0] + x), whole(point[1] + y)

    return replace(edge, start=moved(edge.start, -longer), end=moved(edge.end, longer))


def check_room(task: Task, strips: Sequence[Strip]) -> None:
    """Refuse a strip that does not lie within the surface, or in which an opening lies."""
    at = f"{task.pointer}/from_edge"
    shapes = tuple(Polygon(one.ring) for one in strips)
    there = inset(task, frozenset(), 0)
    out = without_needles(difference(shapes, there)) if shapes else ()
    if not shapes or any(_is_seen(one) for one in out):
        text = (
            f"a strip {both(section_of(task).width)} wide, {both(task.layer.from_edge or 0)} from "
            "the edge, does not lie within the surface: set it nearer to the edge, or the other "
            "way round, along another edge"
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
    section = section_of(task)
    back = (task.layer.from_edge or 0) + (section.flange)
    front = back + section.slot
    cut = difference(inset(task, numbers, back), inset(task, numbers, front))
    free = FIRST_EDGE + len(task.surface.edges)
    sides = zip(*(moved_edges(task, numbers, by) for by in (back, front)), strict=True)
    lines = [line for pair in sides for line in pair if line.number in numbers]
    edges = (
        replace(
            line,
            number=free + k,
            what="beam" if section.flange else "bare",
            gap=0 if section.flange else task.layer.gap,
            pointer=task.pointer,
            beside=None,
        )
        for k, line in enumerate(lines)
    )
    return Offered(cuts=cut, edges=tuple(edges), splits=True)


def check_slot(task: Task) -> None:
    """Refuse a strip that is all flange."""
    section = section_of(task)
    if section.slot > 0:
        return
    at = f"{task.product_pointer}/flange"
    text = (
        f"two flanges of {both(section.flange)} leave nothing of a strip {both(section.width)} wide"
    )
    raise TradeRefused(Fault("flange-wide", text, at, cure=Cure(at, Ticks(0)), rule="3.18"))
