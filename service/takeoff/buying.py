"""What is bought for all that is built, by the item, and what it takes to build it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from service.products.bought_rows import OrderRow, OrderShareRow, OwnedRow
from service.products.labour_rows import LabourRow
from service.products.layer import AnyPlaced
from service.products.liquid_rows import LiquidRow
from service.products.remarks import Remarks
from service.products.rows import ConsumableRow, FastenerRow
from service.products.supplied import Supplied
from service.products.tally_rows import TallyRow
from service.products.trace_rows import TraceRow
from service.takeoff.explaining import Explained
from service.takeoff.job import Job
from service.takeoff.labour import labour
from service.takeoff.order_findings import say_of_order
from service.takeoff.ordering import Item, Use, order_shares, pooled_order, uses
from service.takeoff.random_lengths import random_lengths
from service.takeoff.short_offcuts import say_short_offcuts


@dataclass(frozen=True, slots=True)
class Bought:
    """What all products together are used for, bought by the item and shared by the surfaces."""

    used: Sequence[Use]
    pooled: Mapping[Item, Sequence[OrderRow]]
    owned: tuple[OwnedRow, ...]
    shares: tuple[OrderShareRow, ...]
    tallies: tuple[TallyRow, ...]
    labour: tuple[LabourRow, ...]

    @property
    def lines(self) -> tuple[OrderRow, ...]:
        """The lines of the order that no single product has."""
        return tuple(chain.from_iterable(self.pooled.values()))


def all_bought(
    job: Job,
    placed: Sequence[AnyPlaced],
    supplied: Sequence[Supplied],
    consumables: Sequence[ConsumableRow],
    fasteners: Sequence[FastenerRow],
    liquids: Sequence[LiquidRow],
    said: Remarks,
) -> Bought:
    """The order of all that is built, and what it takes to build it."""
    tallies = random_lengths(job, supplied, said)
    to_do = labour(placed, supplied, fasteners, liquids, job.labour, job.unit)
    used = uses(job, consumables, fasteners, liquids)
    pooled, owned = pooled_order(job, used)
    found = Bought(used, pooled, owned, order_shares(supplied, used, pooled), tallies, to_do)
    say_short_offcuts(job, supplied, said)
    say_of_order(job, [*(row for made in supplied for row in made.order), *found.lines], said)
    return found


def explained(job: Job, supplied: Sequence[Supplied], order: Bought) -> tuple[TraceRow, ...]:
    """How each figure of the order comes about, where the job asks for it."""
    if not job.explain:
        return ()
    return tuple(Explained(job, supplied, order.used, order.pooled, order.owned).rows())
