"""The room that sticks and sheets take on the site in stacks, and how these wait (19.7, 26.4)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Protocol, runtime_checkable

from service.moisture.storing import Practice, Stack, stacked
from service.products.bought_rows import OrderRow
from service.products.labour_rows import DeliveryRow
from service.products.rulings import default_value
from service.products.supplied import Supplied
from service.standards import loader
from service.takeoff.job import Job
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
    practice = practice_of(job)
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


def practice_of(job: Job) -> Practice:
    """How stacks wait (26.4): by the rules of the job's moisture, else as is usual."""
    if job.moisture is not None:
        return job.moisture.rules("").practice
    table, metric = loader.read(loader.MOISTURE), job.unit in METRIC
    keys = ("bearer_spacing", "sticker_spacing", "sticker", "ground_clear", "cover_over")
    lengths = [default_value(table[key], metric=metric) for key in keys]
    return Practice(*(one for one in lengths if isinstance(one, int)))


def _weight(lines: Sequence[OrderRow]) -> Fraction | None:
    weights = [row.weight for row in lines if row.weight is not None]
    return sum(weights, Fraction(0)) if len(weights) == len(lines) else None
