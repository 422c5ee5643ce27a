"""What all layers want of each product, and the plans of its stock for all of that."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from service.errors import Cure, Fault, TradeRefused
from service.products.form import AnyNeed, AnyPlanned, Form
from service.products.layer import AnyLaid, AnyTask, Product
from service.products.registry import forms
from service.products.supplied import SearchSettings
from service.takeoff.job import LayerJob

Laid = tuple[LayerJob, AnyLaid]
"""A layer of the job, and how it lies."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """One need of a product: of which layer, by its number, and which of that layer's needs."""

    layer: int
    number: int
    need: AnyNeed


@dataclass(frozen=True, slots=True)
class Planned:
    """The plan of one product, in its form's own words, and the share of each need in it."""

    plan: object
    shares: Sequence[object]


@dataclass(frozen=True, slots=True)
class Wants:
    """What all layers want of each product, and the faults of those that ask for what cannot be."""

    of: Mapping[str, Sequence[Wanted]]
    refused: Mapping[str, tuple[Fault, ...]]


def wants_of(laid: Sequence[Laid]) -> Wants:
    """What layers want of each product.

    A layer's own product is there even if nothing is wanted of it: then it is neither planned nor
    bought.
    """
    wanted: dict[str, list[Wanted]] = {}
    refused: dict[str, tuple[Fault, ...]] = {}
    for k, (one, layer) in enumerate(laid):
        wanted.setdefault(one.task.product.id, [])
        try:
            for number, need in enumerate(one.kind.needs(layer)):
                wanted.setdefault(need.task.product.id, []).append(Wanted(k, number, need))
        except TradeRefused as refusal:
            refused[one.task.product.id] = (*refused.get(one.task.product.id, ()), *refusal.faults)
    return Wants(wanted, refused)


@dataclass(frozen=True, slots=True)
class Plans:
    """The plan of each product for all that layers want of it, and the layers as they are then."""

    laid: Sequence[Laid]
    wanted: Mapping[str, Sequence[Wanted]]
    of: Mapping[str, Planned]


def plan_all(laid: Sequence[Laid], settings: SearchSettings) -> Plans:
    """Every product planned over all layers; raises TradeRefused with the faults of all.

    Those of layers on which others bear come last: by then it is known where joints land on them.
    """
    wants = wants_of(laid)
    last = {product for product, ones in wants.of.items()
            if any(laid[one.layer][0].kind.bear is not None for one in ones)}  # fmt: skip
    made = [_tried(wants, product, settings) for product in wants.of if product not in last]
    if last:
        laid = _borne(laid, wants, {one.product: one.plan for one in made if one.plan})
        now = wants_of(laid)
        wants = replace(wants, of={product: (now if product in last else wants).of[product]
                                   for product in wants.of})  # fmt: skip
        made += [_tried(wants, product, settings) for product in wants.of if product in last]
    tried = {one.product: one for one in made}
    faults = [fault for product in wants.of for fault in tried[product].faults]
    if faults:
        raise TradeRefused(*faults)
    return Plans(laid, wants.of, {one.product: one.plan for one in made if one.plan})


@dataclass(frozen=True, slots=True)
class _Tried:
    """What came of planning a product: a plan, faults, or neither where nothing is wanted of it."""

    product: str
    plan: Planned | None
    faults: tuple[Fault, ...] = ()


def _tried(wants: Wants, product: str, settings: SearchSettings) -> _Tried:
    refused, ones = wants.refused.get(product, ()), wants.of[product]
    if refused or not ones:
        return _Tried(product, None, refused)
    try:
        return _Tried(product, planned([one.need for one in ones], settings))
    except TradeRefused as refusal:
        return _Tried(product, None, refusal.faults)


def shares_of(
    wanted: Mapping[str, Sequence[Wanted]], plans: Mapping[str, Planned]
) -> dict[int, list[object]]:
    """The shares of each layer, by its number, in those plans that are made: in its own order."""
    found: dict[int, dict[int, object]] = defaultdict(dict)
    for product, plan in plans.items():
        for one, share in zip(wanted[product], plan.shares, strict=True):
            found[one.layer][one.number] = share
    return {layer: [share for _, share in sorted(own.items())] for layer, own in found.items()}


def _borne(laid: Sequence[Laid], wants: Wants, plans: Mapping[str, Planned]) -> list[Laid]:
    """The layers, those that others bear on as they are where joints are to land on them (14.2)."""
    shares = shares_of(wants.of, plans)
    return [
        (one, layer if one.kind.bear is None else one.kind.bear(layer, _landed(laid, k, shares)))
        for k, (one, layer) in enumerate(laid)
    ]


def _landed(laid: Sequence[Laid], on: int, shares: Mapping[int, Sequence[object]]) -> set[int]:
    """On which lines that layer number `on` offers pieces of others meet."""
    _, behind = laid[on]
    found: set[int] = set()
    for k, (one, layer) in enumerate(laid):
        ground, own = layer.task.ground, shares.get(k, ())
        here = ground.surface.id == behind.task.surface.id
        if here and own and ground.bearings == behind.offered.bearings:
            found.update(one.kind.landed_on(layer, own))
    return found


def planned(needs: Sequence[AnyNeed], settings: SearchSettings) -> Planned:
    """The plan of one product; raises TradeRefused where its rules or its stock forbid one."""
    stock_rules_alike([need.task for need in needs])
    form = form_of(needs[0].task.product)
    return Planned(*form.plan(needs, settings))


def form_of(product: Product) -> AnyPlanned:
    """The form of a product of which stock is wanted."""
    form = forms()[product.form]
    assert isinstance(form, Form), f"{form.name} is counted, not planned"
    return form


def stock_rules_alike(tasks: Sequence[AnyTask]) -> None:
    """Refuse layers that share a product and differ in a rule of its stock, as the kerf (19.2).

    A rule that one of them sends as it is by default is no other than that of one that sends none.
    """
    first, *others = tasks
    form = forms()[first.product.form]
    keys = form.stock_rules if isinstance(form, Form) else ()
    faults = [_differing(first, task, key) for key in keys for task in others
              if task.rules.in_force(key) != first.rules.in_force(key)]  # fmt: skip
    if faults:
        raise TradeRefused(*faults)


def _differing(first: AnyTask, task: AnyTask, key: str) -> Fault:
    """The fault of two layers that differ in a rule; the cure is what one of them has of it."""
    own, sent = first.rules.in_force(key), task.rules.in_force(key)
    other, value = (task, own) if own is not None else (first, sent)
    at = f"{other.pointer}/rules/{key}"
    return Fault(
        "stock-rules-differ",
        f"{first.at} and {task.at} share {first.product.id}, whose stock is one: give both the "
        f"same `{key}`",
        at,
        cure=Cure(at, value),
        rule="19.2",
    )
