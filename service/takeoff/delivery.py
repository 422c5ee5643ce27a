"""The room that sticks and sheets take on the site, stack beside stack (19.7)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Protocol, runtime_checkable

from service.products.bought_rows import OrderRow
from service.products.labour_rows import DeliveryRow
from service.products.supplied import Supplied
from service.takeoff.job import Job
from service.units.ticks import FOOT

WIDEST = 4 * FOOT
HIGHEST = 2 * FOOT
"""Of a stack (common practice): what a strap holds and two can reach over."""


@runtime_checkable
class Stacked(Protocol):
    """What lies flat in stacks."""

    thickness: int

    @property
    def laid_width(self) -> int:
        """Ticks across one piece, over all."""


def delivery(job: Job, supplied: Sequence[Supplied]) -> tuple[DeliveryRow, ...]:
    """One row a product of sticks or sheets that is bought."""
    return tuple(row for made in supplied for row in _of(job, made))


def _of(job: Job, made: Supplied) -> Iterator[DeliveryRow]:
    product = job.products[made.product][0]
    lines = [row for row in made.order if row.length is not None and row.bought.buy]
    if not lines or not isinstance(product, Stacked) or made.form == "roll":
        return
    beside = max(1, WIDEST // product.laid_width)
    above = max(1, HIGHEST // product.thickness)
    pieces = sum(row.bought.buy for row in lines)
    lifts = -(-pieces // (beside * above))
    in_one = -(-pieces // lifts)
    wide = min(beside, in_one)
    longest = max(row.length or 0 for row in lines)
    yield DeliveryRow(
        product=made.product,
        form=made.form,
        pieces=pieces,
        longest=longest,
        lifts=lifts,
        width=wide * product.laid_width,
        height=-(-in_one // wide) * product.thickness,
        footprint=2 * lifts * longest * wide * product.laid_width,
        weight=_weight(lines),
    )


def _weight(lines: Sequence[OrderRow]) -> Fraction | None:
    weights = [row.weight for row in lines if row.weight is not None]
    return sum(weights, Fraction(0)) if len(weights) == len(lines) else None
