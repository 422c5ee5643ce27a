"""What is bought for all that is built, by the item, and what it takes to build it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Protocol

from service.products.bought_rows import OrderRow, OrderShareRow, OwnedRow
from service.products.labour_rows import LabourRow, LabourTotalRow
from service.products.layer import AnyPlaced
from service.products.liquid_rows import LiquidRow
from service.products.remarks import Remarks
from service.products.rows import ConsumableRow, FastenerRow
from service.products.supplied import Supplied
from service.products.tally_rows import TallyRow
from service.products.trace_rows import TraceRow
from service.takeoff.explaining import Explained
from service.takeoff.job import Job
from service.takeoff.labour import labour, totals
from service.takeoff.liquid_books import LiquidBooks, booked
from service.takeoff.order_findings import say_of_order
from service.takeoff.ordering import Item, order_shares, pooled_order, uses
from service.takeoff.random_lengths import random_lengths
from service.takeoff.short_offcuts import say_short_offcuts


class Wanting(Protocol):
    """All that something is bought for: what is placed, holds, seals and coats; `Built` is one."""

    @property
    def supplied(self) -> Sequence[Supplied]:
        """What each product gives."""

    @property
    def placed(self) -> Sequence[AnyPlaced]:
        """The layers as they are placed."""

    @property
    def consumables(self) -> Sequence[ConsumableRow]:
        """What seals and goes with the layers, as tape does."""

    @property
    def fasteners(self) -> Sequence[FastenerRow]:
        """What holds them and what stands behind."""

    @property
    def liquids(self) -> Sequence[LiquidRow]:
        """What coats and beads them."""


@dataclass(frozen=True, slots=True)
class Bought:
    """What all products together are used for, bought by the item and shared by the surfaces.

    `pooled` are the lines of items that no single product has, `owned` what the caller has of
    them, `books` the accounts of liquids. `labour` is what it takes to build all of it, `trace` how
    each figure comes about, where the job asks for it.
    """

    pooled: Mapping[Item, Sequence[OrderRow]]
    owned: tuple[OwnedRow, ...]
    shares: tuple[OrderShareRow, ...]
    tallies: tuple[TallyRow, ...]
    labour: tuple[LabourRow, ...]
    labour_totals: tuple[LabourTotalRow, ...]
    books: LiquidBooks
    trace: tuple[TraceRow, ...]

    @property
    def lines(self) -> tuple[OrderRow, ...]:
        """The lines of the order that no single product has."""
        return tuple(chain.from_iterable(self.pooled.values()))


def all_bought(job: Job, built: Wanting, said: Remarks) -> Bought:
    """The order of all that is built, and what it takes to build it; raises LawBroken."""
    supplied = built.supplied
    tallies = random_lengths(job, supplied, said)
    to_do = labour(built.placed, supplied, built.fasteners, built.liquids, job.labour, job.unit)
    used = uses(job, built.consumables, built.fasteners, built.liquids)
    pooled, owned = pooled_order(job, used)
    say_short_offcuts(job, supplied, said)
    lines = chain.from_iterable(pooled.values())
    say_of_order(job, [*(row for made in supplied for row in made.order), *lines], said)
    return Bought(
        pooled=pooled,
        owned=owned,
        shares=order_shares(supplied, used, pooled),
        tallies=tallies,
        labour=to_do,
        labour_totals=totals(to_do, job.labour),
        books=booked(used, pooled, owned),
        trace=tuple(Explained(job, supplied, used, pooled, owned).rows()) if job.explain else (),
    )
