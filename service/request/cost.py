"""How much work a job will be, estimated from what it asks before any of it is done."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from service.schemas.stock import Stocked
from service.takeoff.job import Job, LayerJob
from service.units.ticks import MM

_EFFORT: Final[Mapping[str, int]] = {"thorough": 9}
"""How many times the work of the usual effort; where none stands, once."""

_USUAL_LENGTH: Final = 2_400 * MM
_USUAL_WIDTH: Final = 100 * MM


def cost(job: Job) -> int:
    """The work of `job` in pieces of plain boarding; the time grows with it, not the answer."""
    pieces = sum(_layer(one) for one in job.layers)
    return pieces * _EFFORT.get(job.settings.effort, 1)


def _layer(one: LayerJob) -> int:
    """About the pieces of a layer, and one more for each corner: measured, a corner costs that."""
    surface, product = one.task.surface, one.task.product
    corners = len(surface.outline) + sum(
        len(polygon.outer) for opening in surface.openings for polygon in opening.drawn
    )
    if one.kind.along_edges:
        return corners
    drawn = 2 if getattr(product, "tally", None) is not None else 1
    return drawn * surface.net // (2 * _size(product)) + corners


def _size(product: Any) -> int:
    """Square ticks of a product's shortest piece; of what is not bought in lengths, a usual one."""
    if not isinstance(product, Stocked):
        return _USUAL_LENGTH * _USUAL_WIDTH
    return product.laid_width * min(one.length for one in product.rows)
