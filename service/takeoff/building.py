"""What goes with all that is supplied: what stands behind it, what holds it, what coats it."""

from __future__ import annotations

from dataclasses import dataclass

from service.errors import Basis
from service.products.backing_rows import BackingRow
from service.products.kind import AnyKind
from service.products.layer import AnyPlaced
from service.products.liquid_rows import LiquidRow
from service.products.remarks import Remarks
from service.products.rows import ConsumableRow, FastenerRow
from service.products.supplied import Supplied
from service.takeoff.behind import stand_behind
from service.takeoff.behind_nails import fasteners_behind
from service.takeoff.corrosion import say_corrosion
from service.takeoff.finishing import finished
from service.takeoff.job import Job
from service.takeoff.supplying import supply_behind


@dataclass(frozen=True, slots=True)
class Built:
    """All that is built: what is placed, what stands behind it, what holds it, what coats it.

    `by_kind` is each placed layer with the kind that knows how; `driven` are the fasteners of
    layers alone; `rests_on` what liquids were reckoned with.
    """

    supplied: tuple[Supplied, ...]
    by_kind: tuple[tuple[AnyKind, AnyPlaced], ...]
    backing: tuple[BackingRow, ...]
    driven: tuple[FastenerRow, ...]
    fasteners: tuple[FastenerRow, ...]
    liquids: tuple[LiquidRow, ...]
    rests_on: tuple[Basis, ...]

    @property
    def placed(self) -> tuple[AnyPlaced, ...]:
        """The layers as they are placed, product by product."""
        return tuple(one for _, one in self.by_kind)

    @property
    def consumables(self) -> tuple[ConsumableRow, ...]:
        """What goes with the pieces, as tape does."""
        return tuple(row for one in self.placed for row in one.consumables)


def all_built(job: Job, supplied: list[Supplied], said: Remarks) -> Built:
    """What goes with all that is supplied: what stands behind, what is driven, what is spread."""
    kinds = {one.task.at: one.kind for one in job.layers}
    placed = [(kinds[one.laid.task.at], one) for made in supplied for one in made.placed]
    framed = placed if job.framed is None else [(kinds[one.laid.task.at], one)
                                                for one in job.framed.placed]  # fmt: skip
    backing, behind = stand_behind(job, framed, said)
    supplied = [*supplied, *supply_behind(job, behind, supplied, said)]
    driven = tuple(row for kind, one in placed for row in kind.fasten(one, said))
    fasteners = (*driven, *fasteners_behind(job, framed, backing, said))
    say_corrosion(job, fasteners, said)
    ends = [(one.task, one.cut_ends) for one in job.layers if one.cut_ends]
    liquids, rests_on = finished([one for _, one in placed], supplied, driven, ends, said)
    return Built(
        tuple(supplied), tuple(placed), backing, driven, fasteners, liquids, tuple(rests_on)
    )
