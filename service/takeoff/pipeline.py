"""`take_off`: lay every layer, supply by product, fasten, count packs, check the laws."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from service.errors import Basis, Cure, Fault, Finding, Relaxed, TradeRefused
from service.order.lines import Bought, bought
from service.products.kind import Kind, LaidLayer, Offered, RuleBook, Said, Supplied
from service.products.rows import FastenerRow, OrderRow
from service.takeoff.job import Job, LayerJob
from service.takeoff.laws import check
from service.units.ticks import ceiling

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
    findings: tuple[Finding, ...]
    relaxed: tuple[Relaxed, ...]
    cautions: tuple[str, ...]
    not_computed: tuple[str, ...]
    basis: tuple[Basis, ...]


def take_off(job: Job) -> Takeoff:
    """The takeoff of `job`: pure and deterministic.

    Raises TradeRefused with every trade fault of the layers, or LawBroken if the answer broke a
    law of its own.
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
    check(supplied, fasteners)
    kinds = {kind.name: kind for kind, _ in supplied}
    return Takeoff(
        job,
        tuple(layer for _, layer in laid),
        tuple(supplied),
        fasteners,
        (*_fastener_order(job, fasteners), *_consumable_order(job, supplied)),
        tuple({repr(finding): finding for finding in said.findings}.values()),
        (*said.relaxed, *(one for _, product in supplied for one in product.relaxed)),
        tuple(dict.fromkeys(text for kind in kinds.values() for text in kind.cautions)),
        (*NEVER_COMPUTED, *(text for kind in kinds.values() for text in kind.not_computed)),
        (*job.basis, *(entry for one in job.layers for entry in one.task.rules.basis)),
    )


def _lay_all(job: Job, said: Said) -> list[tuple[LayerJob, LaidLayer]]:
    """Every layer laid, each knowing what those behind it offer.

    The faults of all surfaces are collected before any is raised; a layer on one that was refused
    is not tried, for it would not know what it lies on.
    """
    laid: list[tuple[LayerJob, LaidLayer]] = []
    faults: list[Fault] = []
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
    pools: dict[tuple[str, str], list[tuple[LayerJob, LaidLayer]]] = defaultdict(list)
    for one, layer in laid:
        pools[one.kind.name, one.task.product.id].append((one, layer))
    supplied: list[tuple[Kind, Supplied]] = []
    faults: list[Fault] = []
    for members in pools.values():
        kind = members[0][0].kind
        try:
            layers = [layer for _, layer in members]
            _stock_rules_alike(kind, layers)
            supplied.append((kind, kind.supply(layers, job.settings, said)))
        except TradeRefused as refusal:
            faults += refusal.faults
    if faults:
        raise TradeRefused(*faults)
    return supplied


def _stock_rules_alike(kind: Kind, layers: Sequence[LaidLayer]) -> None:
    """Refuse layers that share a product and differ in a rule of its stock, as the kerf (19.2)."""
    first, *others = (layer.task for layer in layers)
    faults = []
    for key in kind.stock_rules:
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


def _fastener_order(job: Job, fasteners: tuple[FastenerRow, ...]) -> tuple[OrderRow, ...]:
    """Fasteners summed over all surfaces by product and length, then packed once (19.2)."""
    counts: Counter[tuple[str, int | None]] = Counter()
    for row in fasteners:
        if row.product is not None:
            counts[row.product, row.reach.length if row.reach else None] += row.count
    books = {(one.task.surface.id, one.task.layer_id): one.task.rules for one in job.layers}
    book = {row.product: books[row.surface, row.layer] for row in reversed(fasteners)}
    return tuple(
        _packed(job.products[product][0], length, count, book[product])
        for (product, length), count in counts.items()
    )


def _consumable_order(job: Job, supplied: Sequence[tuple[Kind, Supplied]]) -> tuple[OrderRow, ...]:
    """What is used by length, summed over all surfaces, then packed once (19.2, 20.6)."""
    rows = [row for _, made in supplied for row in made.consumables if row.product is not None]
    used: Counter[str] = Counter()
    with_loss: dict[str, Fraction] = defaultdict(Fraction)
    for row in rows:
        assert row.product is not None
        used[row.product] += row.length
        with_loss[row.product] += row.length * (1 + row.loss)
    return tuple(
        _rolls(job.products[product][0], length, with_loss[product])
        for product, length in used.items()
    )


def _rolls(spec: Any, length: int, with_loss: Fraction) -> OrderRow:
    need = -(-length // spec.length)
    buy = max(need, ceiling(with_loss / spec.length))
    price = None if spec.price is None else float(spec.price * buy)
    line = Bought(need, 0, 0, buy - need, buy, buy, 1)
    return OrderRow(spec.id, spec.form, spec.id, spec.length, line, price, None, width=spec.width)


def _packed(spec: Any, length: int | None, count: int, book: RuleBook) -> OrderRow:
    loss = book.get("loss_collated" if spec.feed == "collated" else "loss_hand")
    per = _per_package(spec)
    line = bought(count, loss=Fraction(loss) / 100, per_package=per)
    price = None if spec.price is None or per == 1 else float(spec.price * line.packages)
    weight = None
    if spec.per_pound is not None:
        weight = round(float(Fraction(line.buy) / spec.per_pound), 3)
    return OrderRow(spec.id, "fastener", spec.id, length, line, price, weight)


def _per_package(spec: Any) -> int:
    """Pieces in what is sold: a box as printed, or a pack by weight; otherwise singly."""
    if spec.per_box is not None:
        return int(spec.per_box)
    if spec.per_pound is not None and spec.pounds is not None:
        return max(1, ceiling(spec.per_pound * spec.pounds))
    return 1
