"""Tape along seams and laps and round openings, whatever layer it seals (13.5, 20.6)."""

from __future__ import annotations

from collections.abc import Container, Mapping
from fractions import Fraction
from math import atan2, cos, hypot, pi, radians
from typing import Final

from service.geometry.openings import Opening, edge_of
from service.geometry.plane import intersection, touches_edge
from service.geometry.rings import Point, Polygon, Region, Ring, rectangle, twice_area
from service.products.goods.tape.spec import TapeProduct
from service.products.layer import AnyTask
from service.products.rows import ConsumableRow
from service.units.ticks import SIXTY_FOURTH, whole

_CURVED = cos(radians(15))
"""Cosine of the turn from which two edges meet in a corner (17.6)."""

_SNAPPED = SIXTY_FOURTH
"""Up to which length an edge of an opening may come of snapping."""

COUNTED: Final[Mapping[str, str]] = {
    "side laps": "length of laps between runs",
    "end laps": "width of the roll at each end lap",
    "seams": "length of seams between rows",
    "end joints": "across the sheets at each end joint",
    "openings": "round each opening inside the outline, with the tape's own width at corners",
    "edges": "perimeter of the surface",
    "patches": "perimeter of each patch",
}
"""What is measured at each place that is taped."""


def tape_rows(
    task: AnyTask, product: TapeProduct | None, lengths: Mapping[str, int], loss: Fraction
) -> tuple[ConsumableRow, ...]:
    """The tape of one layer by place (ticks); `loss` is a fraction of one."""
    return tuple(
        ConsumableRow(
            surface=task.surface.id,
            layer=task.layer_id,
            product=None if product is None else product.id,
            where=where,
            length=length,
            counted=COUNTED[where],
            loss=loss,
        )
        for where, length in lengths.items()
        if length
    )


def tape_round(
    task: AnyTask, tape: str | None, rims: Container[str], loss: Fraction
) -> tuple[ConsumableRow, ...]:
    """The tape round openings of such ids alone; none where no tape is named."""
    if tape is None:
        return ()
    product, _ = task.named(tape, TapeProduct)
    return tape_rows(task, product, {"openings": round_openings(task, product.width, rims)}, loss)


def round_openings(task: AnyTask, tape: int, only: Container[str] | None = None) -> int:
    """Tape of a width round every opening of a surface, or only those of such ids."""
    return sum(
        round_opening(one, task.surface.parts, tape)
        for one in task.surface.openings
        if only is None or one.id in only
    )


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
