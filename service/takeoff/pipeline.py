"""`take_off`: lay every layer, supply by product, fasten, count packs, check the laws."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.errors import Basis, Cure, Fault, Finding, Relaxed, TradeRefused
from service.products.kind import Kind, LaidLayer, Offered, Said, Supplied, Task
from service.products.registry import forms
from service.products.rows import FastenerRow, OrderRow, OrderShareRow
from service.takeoff.job import Job, LayerJob
from service.takeoff.laws import check
from service.takeoff.ordering import order_shares, pooled_order

NEVER_COMPUTED = (
    "loads, spans and structural adequacy of framing, panels, boards or fixings",
    "fire resistance and electrical clearances",
    "compliance with any building code",
)


@dataclass(frozen=True, slots=True)
class Takeoff:
    """The takeoff of a job, in ticks."""

    job: Job
    laid: tuple[LaidLayer, ...]
    supplied: tuple[tuple[Kind, Supplied], ...]
    fasteners: tuple[FastenerRow, ...]
    pooled_order: tuple[OrderRow, ...]
    order_shares: tuple[OrderShareRow, ...]
    findings: tuple[Finding, ...]
    relaxed: tuple[Relaxed, ...]
    cautions: tuple[str, ...]
    not_computed: tuple[str, ...]
    basis: tuple[Basis, ...]


def take_off(job: Job) -> Takeoff:
    """The takeoff of `job`: pure and deterministic.

    Raises TradeRefused with the job's own faults and every trade fault of its layers, or LawBroken
    if the answer broke a law of its own.
    """
    said = Said(findings=list(job.findings))
    laid = _lay_all(job, said)
    supplied = _supply_all(job, laid, said)
    fasteners = tuple(
        row
        for kind, product in supplied
        for index in range(len(product.layers))
        for row in kind.fasten(product, index, said)
    )
    pooled = pooled_order(job, supplied, fasteners)
    shares = order_shares(supplied, fasteners, pooled)
    check(supplied, fasteners, pooled, shares)
    kinds = {kind.name: kind for kind, _ in supplied}
    return Takeoff(
        job=job,
        laid=tuple(layer for _, layer in laid),
        supplied=tuple(supplied),
        fasteners=fasteners,
        pooled_order=pooled,
        order_shares=shares,
        findings=tuple({repr(finding): finding for finding in said.findings}.values()),
        relaxed=(*said.relaxed, *(one for _, product in supplied for one in product.relaxed)),
        cautions=tuple(dict.fromkeys(text for kind in kinds.values() for text in kind.cautions)),
        not_computed=(
            *NEVER_COMPUTED,
            *(text for kind in kinds.values() for text in kind.not_computed),
        ),
        basis=(*job.basis, *(entry for one in job.layers for entry in one.task.rules.basis)),
    )


def _lay_all(job: Job, said: Said) -> list[tuple[LayerJob, LaidLayer]]:
    """Every layer laid, each knowing what those behind it offer.

    The faults of all surfaces are collected before any is raised; a layer on one that was refused
    is not tried, for it would not know what it lies on.
    """
    laid: list[tuple[LayerJob, LaidLayer]] = []
    faults = list(job.faults)
    behind: dict[str, tuple[Offered, ...]] = defaultdict(tuple)
    refused: set[str] = set()
    for one in job.layers:
        name = one.task.surface.id
        if name in refused:
            continue
        try:
            layer = one.kind.lay(replace(one.task, behind=behind[name]), said)
        except TradeRefused as refusal:
            faults += refusal.faults
            refused.add(name)
            continue
        behind[name] += (layer.offered,)
        laid.append((one, layer))
    if faults:
        raise TradeRefused(*faults)
    return laid


def _supply_all(
    job: Job, laid: list[tuple[LayerJob, LaidLayer]], said: Said
) -> list[tuple[Kind, Supplied]]:
    """Stock for each product, pooled over all surfaces."""
    pools: dict[str, list[tuple[LayerJob, LaidLayer]]] = defaultdict(list)
    for one, layer in laid:
        pools[one.task.product.id].append((one, layer))
    supplied: list[tuple[Kind, Supplied]] = []
    faults: list[Fault] = []
    for members in pools.values():
        kind = members[0][0].kind
        try:
            layers = [layer for _, layer in members]
            _stock_rules_alike([layer.task for layer in layers])
            supplied.append((kind, kind.supply(layers, job.settings, said)))
        except TradeRefused as refusal:
            faults += refusal.faults
    if faults:
        raise TradeRefused(*faults)
    return supplied


def check_stock_rules(job: Job) -> None:
    """Refuse what `take_off` refuses of the rules of stock that is shared, without laying it."""
    pools: dict[str, list[LayerJob]] = defaultdict(list)
    for one in job.layers:
        pools[one.task.product.id].append(one)
    for ones in pools.values():
        _stock_rules_alike([one.task for one in ones])


def _stock_rules_alike(tasks: Sequence[Task]) -> None:
    """Refuse layers that share a product and differ in a rule of its stock, as the kerf (19.2)."""
    first, *others = tasks
    faults = []
    for key in forms()[first.product.form].stock_rules:
        own = first.rules.as_sent(key)
        for task in others:
            sent = task.rules.as_sent(key)
            if sent == own:
                continue
            other, value = (task, own) if own is not None else (first, sent)
            at = f"{other.pointer}/rules/{key}"
            faults.append(
                Fault(
                    "stock-rules-differ",
                    f"{first.at} and {task.at} share {first.product.id}, whose stock is one: give "
                    f"both the same `{key}`",
                    at,
                    cure=Cure(at, value),
                    rule="19.2",
                )
            )
    if faults:
        raise TradeRefused(*faults)
