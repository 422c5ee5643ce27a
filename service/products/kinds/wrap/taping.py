"""Tape: along side laps and end laps, round openings by their shape, at edges if asked (13.5)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import pi
from typing import TYPE_CHECKING, Any

from service.errors import Finding
from service.geometry.plane import difference, intersection
from service.geometry.rings import Point, Polygon, Ring, around, rectangle, twice_area
from service.geometry.surface import Opening
from service.products.kind import LaidLayer, Said, Task
from service.products.rows import ConsumableRow
from service.units.ticks import whole

if TYPE_CHECKING:
    from service.products.kinds.wrap.laying import Wrap
    from service.products.kinds.wrap.supplying import Piece


def taped(layer: LaidLayer, pieces: Sequence[Piece], said: Said) -> tuple[ConsumableRow, ...]:
    """The tape of one layer by place."""
    task = layer.task
    wrap: Wrap = layer.detail
    product = _product(task, said)
    width = 0 if product is None else product.width
    loss = Fraction(task.rules.get("tape_loss")) / 100
    lengths = {
        "side laps": sum(seam.high - seam.low for seam in wrap.seams),
        "end laps": _end_laps(wrap, pieces) * task.product.width,
        "openings": sum(
            round_opening(one, task.surface.outline, width) for one in task.surface.openings
        ),
    }
    if task.rules.choose("13.5", "tape_edges", task.layer.tape_edges, False):
        lengths["edges"] = task.surface.perimeter
    return tuple(
        ConsumableRow(
            task.surface.id, task.layer_id, None if product is None else product.id, where,
            length, _COUNTED[where], loss,
        )
        for where, length in lengths.items()
        if length
    )  # fmt: skip


_COUNTED = {
    "side laps": "length of laps between widths",
    "end laps": "width of the roll at each end lap",
    "openings": "round each opening inside the outline, with the tape's own width at corners",
    "edges": "perimeter of the surface",
}


def _end_laps(wrap: Wrap, pieces: Sequence[Piece]) -> int:
    return len(pieces) - len(wrap.strips)


def edge_of(opening: Opening, outline: Ring) -> int:
    """Length of an opening's edge (ticks) inside the outline: a door has none along the floor."""
    if not opening.crosses_edge:
        return around(opening.drawn[0].outer)
    # The surface's edge beside the opening counts once in either part, the opening's in both.
    surface = (Polygon(outline),)
    parts = (*difference(surface, opening.drawn), *intersection(surface, opening.drawn))
    length = sum(around(ring) for part in parts for ring in part.rings)
    return (length - around(outline)) // 2


def round_opening(opening: Opening, outline: Ring, tape: int) -> int:
    """Tape round one opening: pi x (diameter + tape) if round, else its sides and the corners."""
    if opening.diameter and not opening.crosses_edge:
        return whole(pi * (opening.diameter + tape))
    corners = sum(_inside(corner, outline) for corner in opening.drawn[0].outer)
    return edge_of(opening, outline) + (0 if opening.diameter else corners * tape)


def _inside(point: Point, outline: Ring) -> bool:
    """Whether a point lies within the outline, not on its edge."""
    x, y = point
    corner = (Polygon(rectangle(x - 1, y - 1, x + 1, y + 1)),)
    return twice_area(intersection(corner, (Polygon(outline),))) == twice_area(corner)


def _product(task: Task, said: Said) -> Any:
    """The tape product, or None with a finding where none was named."""
    named = task.layer.tape
    if named is None:
        said.find(
            Finding("no-tape", task.at, "no tape was named: its length only, no rolls", rule="13.5")
        )
        return None
    return task.products[named][0]
