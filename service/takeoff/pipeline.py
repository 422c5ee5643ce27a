"""`take_off`: lay and joint every layer, supply by product, fasten, count packs, check the laws."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from service.errors import Basis, Finding, Relaxed, TradeRefused
from service.products.backing_rows import BackingRow
from service.products.drawing import DrawnLayer
from service.products.kind import AnyKind
from service.products.labour_rows import DeliveryRow
from service.products.laid_rows import MemberRow
from service.products.layer import AnyLaid, AnyPlaced
from service.products.liquid_rows import LiquidRow
from service.products.remarks import Remarks
from service.products.rows import ConsumableRow, FastenerRow
from service.products.shim_rows import ShimRow
from service.products.supplied import Supplied
from service.takeoff.building import all_built
from service.takeoff.buying import Bought, all_bought
from service.takeoff.cautions import CautionRow, cautions
from service.takeoff.covering import say_covers
from service.takeoff.delivery import delivery
from service.takeoff.flattening import shims
from service.takeoff.inspecting.rows import InspectionRow, Site
from service.takeoff.inspecting.sheet import inspection
from service.takeoff.job import Job
from service.takeoff.laws import check
from service.takeoff.laying import LaidOne, lay_all, settled
from service.takeoff.members import member_rows
from service.takeoff.moisture.job_rows import LayerCheckRow, LayerMoistureRow
from service.takeoff.moisture.room import with_room
from service.takeoff.moisture.telling import told
from service.takeoff.slips import refused_for, told_with
from service.takeoff.supplying import chosen_with_stock, supply_all
from service.takeoff.trying import Picking

NEVER_COMPUTED = (
    "loads, spans and structural adequacy of framing, panels, boards or fixings",
    "fire resistance and electrical clearances",
    "compliance with any building code",
)


@dataclass(frozen=True, slots=True)
class Takeoff:
    """The takeoff of a job, in ticks.

    `said_of_laid` are the findings, by code and place, that were told as layers were laid.
    `supplied` is by product, `placed` each layer, product by product. `drawn` is what each placed
    layer looks like, by `surface.layer`, where it was asked for.
    """

    job: Job
    members: tuple[MemberRow, ...]
    laid: tuple[AnyLaid, ...]
    said_of_laid: frozenset[tuple[str, str]]
    supplied: tuple[Supplied, ...]
    placed: tuple[AnyPlaced, ...]
    drawn: Mapping[str, DrawnLayer]
    backing: tuple[BackingRow, ...]
    shims: tuple[ShimRow, ...]
    consumables: tuple[ConsumableRow, ...]
    fasteners: tuple[FastenerRow, ...]
    liquids: tuple[LiquidRow, ...]
    bought: Bought
    delivery: tuple[DeliveryRow, ...]
    moisture: tuple[LayerMoistureRow, ...]
    moisture_checks: tuple[LayerCheckRow, ...]
    inspection: tuple[InspectionRow, ...]
    findings: tuple[Finding, ...]
    relaxed: tuple[Relaxed, ...]
    cautions: tuple[CautionRow, ...]
    not_computed: tuple[str, ...]
    basis: tuple[Basis, ...]


def take_off(job: Job, *, draw: bool = False, further: Picking | None = None) -> Takeoff:
    """The takeoff of `job`, with its layers drawn if `draw` says so: pure and deterministic.

    `further` says which layers, once all are laid, are taken further. Raises TradeRefused with the
    job's own faults and every trade fault of its layers, or LawBroken if the answer broke a law of
    its own.
    """
    try:
        return _taken_off(with_room(job), draw=draw, further=further)
    except TradeRefused as refusal:
        raise refused_for(job.slips, refusal) from None


def _taken_off(job: Job, *, draw: bool, further: Picking | None) -> Takeoff:
    alone: Sequence[LaidOne] = lay_all(job)
    if further is not None:
        alone = further(alone)
        job = replace(job, layers=tuple(one.job for one in alone))
    laid, supplied, said = _supplied(job, alone)
    damp = told(job, [one.layer for one in laid if not one.job.is_up], said)
    built = all_built(job, supplied, said)
    bought = all_bought(job, built, said)
    check(built.by_kind, built.supplied, built.driven, bought.lines, bought.shares, built.backing)
    shimmed = shims(job.surfaces, built.placed, said)
    stacks, stacked_by = delivery(job, built.supplied)
    site = Site(job, built.by_kind, built.fasteners, built.backing, shimmed, damp.checks)
    inspected = inspection(site, said)
    return Takeoff(
        job=job,
        members=tuple(row for surface in job.surfaces for row in member_rows(surface)),
        laid=tuple(one.layer for one in laid if not one.job.is_up),
        said_of_laid=frozenset(
            (finding.code, finding.at) for one in laid for finding in one.said.findings
        ),
        supplied=built.supplied,
        placed=built.placed,
        drawn=_drawn(built.by_kind, job.unit) if draw else {},
        backing=built.backing,
        shims=shimmed,
        consumables=built.consumables,
        fasteners=built.fasteners,
        liquids=built.liquids,
        bought=bought,
        delivery=stacks,
        moisture=damp.layers,
        moisture_checks=damp.checks,
        inspection=inspected,
        findings=told_with(
            job.slips, {repr(finding): finding for finding in said.findings}.values()
        ),
        relaxed=(*said.relaxed, *(one for product in built.supplied for one in product.relaxed)),
        cautions=cautions(job, built.by_kind, built.fasteners, said.findings),
        not_computed=_not_computed(built.by_kind),
        basis=(*_basis(job, damp.basis), *built.rests_on, *stacked_by),
    )


def with_more(
    made: Takeoff, nails: Sequence[FastenerRow], tape: Sequence[ConsumableRow]
) -> Takeoff:
    """A takeoff with what holds and seals anew what was up and stays: all is bought at once.

    It is in no other figure than the order and the hours.
    """
    if not (nails or tape):
        return made
    said = Remarks(findings=list(made.findings))
    more = replace(
        made, fasteners=(*made.fasteners, *nails), consumables=(*made.consumables, *tape)
    )
    return replace(
        more,
        bought=all_bought(made.job, more, said),
        findings=tuple({repr(finding): finding for finding in said.findings}.values()),
    )


def _not_computed(placed: Sequence[tuple[AnyKind, AnyPlaced]]) -> tuple[str, ...]:
    """What is left to those who are licensed for it, whatever the job and by its kinds."""
    of_kinds = {kind.name: kind for kind, _ in placed}
    return (*NEVER_COMPUTED, *(text for kind in of_kinds.values() for text in kind.not_computed))


def _basis(job: Job, damp: Sequence[Basis]) -> Iterator[Basis]:
    """The rules that the job and its layers were worked by, and those of moisture."""
    yield from job.basis
    yield from (entry for one in job.layers for entry in one.task.rules.basis)
    yield from damp
    yield from (entry for task in job.nailers.values() for entry in task.rules.basis)


def _drawn(placed: Sequence[tuple[AnyKind, AnyPlaced]], unit: str) -> dict[str, DrawnLayer]:
    return {one.laid.task.at: kind.draw(one, unit) for kind, one in placed}


def _supplied(
    job: Job, alone: Sequence[LaidOne]
) -> tuple[Sequence[LaidOne], list[Supplied], Remarks]:
    """Every product supplied for layers as they lie, joints chosen with the stock if they can be.

    Where what lies on such joints is refused, each layer keeps the joints that it has alone.
    """
    if any(one.is_up or one.task.standing is not None for one in job.layers):
        return _with_stock(job, alone)
    chosen = chosen_with_stock(job, [(one.job, one.layer) for one in alone])
    if chosen:
        with suppress(TradeRefused):
            return _with_stock(job, settled(alone, chosen))
    return _with_stock(job, alone)


def _with_stock(
    job: Job, laid: Sequence[LaidOne]
) -> tuple[Sequence[LaidOne], list[Supplied], Remarks]:
    """Every product supplied for layers as they are laid, and all that is said of both."""
    said = Remarks(findings=list(job.findings))
    for one in laid:
        said.findings += one.said.findings
        said.relaxed += one.said.relaxed
    say_covers([one.layer for one in laid], job.unit, said)
    left = [(one.job, one.layer) for one in laid if not one.job.is_up]
    supplied = supply_all(job, left, said)
    known = {one.laid.task.at: one.laid for made in supplied for one in made.placed}
    laid = [replace(one, layer=known.get(one.job.task.at, one.layer)) for one in laid]
    return laid, supplied, said
