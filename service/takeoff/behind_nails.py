"""What holds the nailers, headers and blocks behind a surface: fasteners by count (15, 18.1)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from service.fastening.reach import Need, Reach, Way, reach_of
from service.products.backing import Nailing
from service.products.backing_rows import BackingRow
from service.products.fasteners import NamedFastener, holding_length
from service.products.kind import AnyKind
from service.products.layer import AnyPlaced
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.rulings import BlockRulings, HoldRulings
from service.takeoff.job import Job
from service.units.ticks import INCH

USUAL_THICKNESS = 3 * INCH // 2
"""What a fastener goes through before it holds, where no lumber was named (0.6)."""


def nailing_of(placed: AnyPlaced) -> Nailing | None:
    """How what stands behind a layer is held, by its rules; None where its kind has none."""
    rules = placed.laid.task.rules
    if not isinstance(rules, BlockRulings):
        return None
    return Nailing(rules.end_nails, rules.nailer_spacing)


def fasteners_behind(
    job: Job,
    placed: Sequence[tuple[AnyKind, AnyPlaced]],
    rows: Sequence[BackingRow],
    said: Remarks,
) -> Iterator[FastenerRow]:
    """What holds the backing that each layer asked for, where a fastener is named for it.

    Raises TradeRefused where none of its lengths holds.
    """
    counts: Counter[tuple[str, str, bool]] = Counter()
    for row in rows:
        counts[row.surface, row.layer, row.what == "nailer"] += row.nails or 0
    layers = {(one.laid.task.surface.id, one.laid.task.layer_id): one for _, one in placed}
    for (surface, layer, along), count in sorted(counts.items()):
        named, one = job.nailer_fasteners.get(surface), layers[surface, layer]
        nailing = nailing_of(one)
        if named is not None and nailing is not None and count:
            yield FastenerRow(
                surface=surface,
                layer=layer,
                product=named[0].id,
                where="backing",
                pattern="along" if along else "ends",
                place="face",
                spacing=nailing.apart if along else None,
                count=count,
                counted="points along the pieces" if along else "ends of pieces",
                reach=_reach(job, one, named, said),
            )


def _reach(job: Job, placed: AnyPlaced, named: NamedFastener, said: Remarks) -> Reach | None:
    """The shortest length that holds, through the lumber's own thickness (18.11)."""
    task = placed.laid.task
    rules, lumber = task.rules, job.nailers.get(task.surface.id)
    if not isinstance(rules, HoldRulings):
        return None
    way = Way(USUAL_THICKNESS if lumber is None else lumber.product.thickness)
    need = Need(rules.bite_smooth if named[0].shank == "smooth" else rules.bite_ring)
    return reach_of(holding_length(task, named, [way], need, said), way)
