"""Stock for each product, pooled over every layer that wants any of it, whatever its kind."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from contextlib import suppress

from service.errors import Fault, TradeRefused
from service.ledger.book import Ledger, Measure
from service.products.form import AnyNeed, Form
from service.products.layer import AnyLaid, AnyPlaced
from service.products.registry import forms
from service.products.remarks import Remarks
from service.products.supplied import SearchSettings, Supplied
from service.takeoff.behind import Behind
from service.takeoff.job import Job, LayerJob
from service.takeoff.planning import (
    Plans,
    Wanted,
    form_of,
    plan_all,
    planned,
    shares_of,
    stock_rules_alike,
    wants_of,
)
from service.takeoff.regions import in_regions


def supply_all(job: Job, laid: Sequence[tuple[LayerJob, AnyLaid]], said: Remarks) -> list[Supplied]:
    """Stock for each product, pooled over all layers of all kinds; raises TradeRefused."""
    return _placed(job, plan_all(laid, job.settings), said)


def chosen_with_stock(job: Job, laid: Sequence[tuple[LayerJob, AnyLaid]]) -> dict[int, object]:
    """Joints that are chosen for layers together with the stock of their product, by layer.

    Only layers whose kind settles them have any, and only where several do. What forbids a plan of
    a product is told when that is planned.
    """
    settled = Counter(one.task.product.id for one, _ in laid if one.kind.settle is not None)
    if max(settled.values(), default=0) < 2:
        return {}
    chosen: dict[int, object] = {}
    wants = wants_of(laid)
    for product, ones in wants.of.items():
        if ones and product not in wants.refused:
            with suppress(TradeRefused):
                joints = _jointed([one.need for one in ones], job.settings)
                chosen |= {one.layer: own for one, own in zip(ones, joints, strict=True) if own}
    return chosen


def _jointed(needs: Sequence[AnyNeed], settings: SearchSettings) -> Sequence[object]:
    """What layers of one product are to settle; raises TradeRefused where none can be planned."""
    form = form_of(needs[0].task.product)
    if form.joint is None:
        return [None] * len(needs)
    stock_rules_alike([need.task for need in needs])
    return form.joint(needs, settings)


def _placed(job: Job, plans: Plans, said: Remarks) -> list[Supplied]:
    """Every layer placed from its shares, product by product, and each product's books closed.

    A product is closed when all layers that want any of it are placed.
    """
    laid, wanted, shares = plans.laid, plans.wanted, shares_of(plans.wanted, plans.of)
    books: dict[str, Ledger] = {}
    for product, ones in wanted.items():
        books[product] = Ledger(product, _measure(job, product))
        for one in ones:
            books[product].of(one.need.task.surface.id)
    placed: dict[int, AnyPlaced] = {}
    made: dict[str, Supplied] = {}
    for product in wanted:
        for k, (job_layer, layer) in enumerate(laid):
            if job_layer.task.product.id == product:
                own = shares.get(k, [])
                placed[k] = in_regions(job_layer.kind.place(layer, own, books, said))
        for other, ones in wanted.items():
            if ones and other not in made and all(one.layer in placed for one in ones):
                laid_of = [k for k in range(len(laid)) if _told_under(k, laid, wanted) == other]
                first = laid[ones[0].layer][0]
                form = ones[0].need.task.product.form
                made[other] = Supplied(
                    other, form, first.kind.name, tuple(placed[k] for k in laid_of)
                )
                _close(ones, plans.of[other].plan, made[other], books[other], job.settings, said)
    return [made[product] for product in wanted if product in made]


def _told_under(
    k: int, laid: Sequence[tuple[LayerJob, AnyLaid]], wanted: Mapping[str, Sequence[Wanted]]
) -> str | None:
    """The product with which a layer is told: its own, or if none is wanted of that another."""
    own = laid[k][0].task.product.id
    others = (name for name, ones in wanted.items() if any(one.layer == k for one in ones))
    return own if wanted[own] else next(others, None)


def supply_behind(
    job: Job, behind: Sequence[Behind], supplied: Sequence[Supplied], said: Remarks
) -> list[Supplied]:
    """Stock for what must stand behind, pooled by product; raises TradeRefused."""
    wanted: dict[str, list[Behind]] = defaultdict(list)
    for one in behind:
        wanted[one.need.task.product.id].append(one)
    _not_laid_too(job, wanted, {made.product for made in supplied})
    found = []
    for product, ones in wanted.items():
        needs = [one.need for one in ones]
        made_of, ledger = planned(needs, job.settings), Ledger(product, _measure(job, product))
        for one in ones:
            page = ledger.of(one.need.task.surface.id)
            page.enter("installed", one.extent)
            page.enter("fit", one.cut - one.extent)
        form = form_of(needs[0].task.product)
        made = Supplied(product, form.name, "backing", ())
        form.supplied(made_of.plan, needs, made, ledger, job.settings, said)
        found.append(made)
    return found


def _not_laid_too(job: Job, wanted: Iterable[str], laid: Container[str]) -> None:
    """Refuse a lumber of which a layer is laid and backing cut: one pool must hold all (19.2)."""
    both = [product for product in wanted if product in laid]
    if both:
        raise TradeRefused(
            *(
                Fault(
                    "nailers-laid",
                    f"layers are laid of {product}, and nailers are cut of it: give the nailers a "
                    "product of their own",
                    job.products[product][1],
                    rule="19.2",
                )
                for product in both
            )
        )


def _measure(job: Job, product: str) -> Measure:
    """What a product's ledger is kept in; of what is only counted nothing is booked."""
    form = forms()[job.products[product][0].form]
    return form.measure if isinstance(form, Form) else "area"


def _close(
    ones: Sequence[Wanted],
    plan: object,
    made: Supplied,
    ledger: Ledger,
    settings: SearchSettings,
    said: Remarks,
) -> None:
    needs = [one.need for one in ones]
    form = form_of(needs[0].task.product)
    form.supplied(plan, needs, made, ledger, settings, said)


def check_stock_rules(job: Job) -> None:
    """Refuse what `take_off` refuses of the rules of stock that is shared, without laying it."""
    pools: dict[str, list[LayerJob]] = defaultdict(list)
    for one in job.layers:
        pools[one.task.product.id].append(one)
    for ones in pools.values():
        stock_rules_alike([one.task for one in ones])
