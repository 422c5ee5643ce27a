"""Tape: along side laps and end laps, round openings by their shape, at edges if asked (13.5)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import atan2, cos, hypot, pi, radians

from service.errors import Finding
from service.geometry.opening_edges import edge_of
from service.geometry.plane import intersection, touches_edge
from service.geometry.rings import Point, Polygon, Region, Ring, rectangle, twice_area
from service.geometry.surface import Opening
from service.products.goods.tape.spec import TapeProduct
from service.products.kinds.wrap.records import LaidWrap, Wrap, WrapPiece
from service.products.kinds.wrap.rulings import Task
from service.products.remarks import Remarks
from service.products.rows import ConsumableRow
from service.units.ticks import SIXTY_FOURTH, whole

_CURVED = cos(radians(15))
_SNAPPED = SIXTY_FOURTH
"""Up to which length an edge of an opening may come of snapping."""
"""Cosine of the turn from which two edges meet in a corner (17.6)."""


def taped(layer: LaidWrap, pieces: Sequence[WrapPiece], said: Remarks) -> tuple[ConsumableRow, ...]:
    """The tape of one layer by place."""
    task = layer.task
    wrap: Wrap = layer.detail
    product = _product(task, said)
    width = 0 if product is None else product.width
    loss = Fraction(task.rules.tape_loss) / 100
    lengths = {
        "side laps": sum(seam.high - seam.low for seam in wrap.seams),
        "end laps": _end_laps(wrap, pieces) * task.product.width,
        "openings": sum(
            round_opening(one, task.surface.parts, width) for one in task.surface.openings
        ),
    }
    if task.standing is not None:
        lengths = lengths | {"openings": 0, "patches": task.surface.perimeter}
    elif task.rules.tape_edges:
        lengths["edges"] = task.surface.perimeter
    return tuple(
        ConsumableRow(
            surface=task.surface.id,
            layer=task.layer_id,
            product=None if product is None else product.id,
            where=where,
            length=length,
            counted=_COUNTED[where],
            loss=loss,
        )
        for where, length in lengths.items()
        if length
    )


_COUNTED = {
    "side laps": "length of laps between runs",
    "end laps": "width of the roll at each end lap",
    "openings": "round each opening inside the outline, with the tape's own width at corners",
    "edges": "perimeter of the surface",
    "patches": "perimeter of each patch",
}


def _end_laps(wrap: Wrap, pieces: Sequence[WrapPiece]) -> int:
    return len(pieces) - len(wrap.strips)


def round_opening(opening: Opening, surface: Region, tape: int) -> int:
    """Tape round one opening as cut: its sides, and the tape's own width at each corner.

    pi x (diameter + tape) where it is round.
    """
    inside = not touches_edge(opening.cut, surface)
    if opening.diameter and inside:
        return whole(pi * (opening.diameter + 2 * opening.out + tape))
    corners = [corner for part in opening.cut for corner in _corners(part.outer)]
    bends = sum(_inside(corner, surface) for corner in corners) * tape
    return edge_of(opening, surface) + (bends if corners or not inside else whole(pi * tape))


def _corners(ring: Ring) -> list[Point]:
    """The corners of a ring but for those that turn by less than 15 degrees: a curve (17.6).

    An edge that snapping alone has made turns anyhow, so it has no corners of its own.
    """
    sides = zip(ring[-1:] + ring[:-1], ring, strict=True)
    own = tuple(b for a, b in sides if hypot(b[0] - a[0], b[1] - a[1]) > _SNAPPED)
    trios = zip(own[-1:] + own[:-1], own, own[1:] + own[:1], strict=True)
    ways = [(b, atan2(b[1] - a[1], b[0] - a[0]), atan2(c[1] - b[1], c[0] - b[0]))
            for a, b, c in trios]  # fmt: skip
    return [at for at, one, other in ways if cos(other - one) < _CURVED]


def _inside(point: Point, surface: Region) -> bool:
    """Whether a point lies within the surface, not on its edge."""
    x, y = point
    corner = (Polygon(rectangle(x - 1, y - 1, x + 1, y + 1)),)
    return twice_area(intersection(corner, surface)) == twice_area(corner)


def _product(task: Task, said: Remarks) -> TapeProduct | None:
    """The tape product, or None with a finding where none was named."""
    named = task.layer.tape
    if named is None:
        said.find(
            Finding("no-tape", task.at, "no tape was named: its length only, no rolls", rule="13.5")
        )
        return None
    return task.named(named, TapeProduct)[0]
