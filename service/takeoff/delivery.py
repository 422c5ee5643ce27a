"""The room that sticks and sheets take on the site in stacks, and how these wait (19.7, 26.4)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Protocol, runtime_checkable

from service.errors import Basis
from service.moisture.storing import Stack, stacked
from service.products.bought_rows import OrderRow
from service.products.labour_rows import DeliveryRow
from service.products.supplied import Supplied
from service.standards import loader
from service.takeoff.job import Job
from service.takeoff.moisture.rulings import MoistureRulings
from service.units.ticks import FOOT, METRIC

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


def delivery(
    job: Job, supplied: Sequence[Supplied]
) -> tuple[tuple[DeliveryRow, ...], tuple[Basis, ...]]:
    """One row a product of sticks or sheets that is bought; and by what rules the stacks wait."""
    rules = storage_of(job)
    return tuple(row for made in supplied for row in _of(job, made, rules)), rules.basis


def _of(job: Job, made: Supplied, rules: MoistureRulings) -> Iterator[DeliveryRow]:
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
    practice = rules.practice
    stack = Stack(longest, in_one, product.laid_width, product.thickness, WIDEST)
    waits = stacked(stack, practice)
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
        bearers=lifts * waits.bearers,
        clear=practice.clear,
        stickers=0 if made.form == "sheet" else lifts * waits.stickers,
        cover=lifts * waits.cover,
    )


def storage_of(job: Job) -> MoistureRulings:
    """By what stacks wait (26.4): the rules of the job's moisture, else what is usual."""
    if job.moisture is not None:
        return job.moisture.rules("job")
    table = loader.read(loader.MOISTURE)
    return MoistureRulings("job", None, (), table, metric=job.unit in METRIC)


def _weight(lines: Sequence[OrderRow]) -> Fraction | None:
    weights = [row.weight for row in lines if row.weight is not None]
    return sum(weights, Fraction(0)) if len(weights) == len(lines) else None
